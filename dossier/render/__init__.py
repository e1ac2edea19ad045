"""View to files: pages, papers, calendars and data, as bytes by path; nothing touches the disk."""
