"""A package, so that a library which installs one of the same name is never taken for it."""
