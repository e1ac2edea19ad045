"""From pages in memory to the folders that are looked at and uploaded, and the state behind them.

Nothing here knows what is inside a page.
"""
