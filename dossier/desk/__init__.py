"""The writing side: whatever begins a note, files one, lists what is due, or helps an editor.

Nothing here renders a page, and nothing here overwrites a file that a person wrote.
"""
