"""The one gate to a reader: what the notes say and what follows, as page-ready views."""
