"""The scripts that made the logs and the pictures of the demo shop, so that both can be repeated."""
