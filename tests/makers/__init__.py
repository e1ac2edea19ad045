"""The scripts that made the demo shop's logs and pictures, so that both can be repeated."""
