"""What each kind of file may hold, as JSON Schema: for editors, and for the guide's lists."""
