"""Chromium for the hostile pages, from the fixtures of the browser's own tests."""

from tests.browser.conftest import chromium, page, serve

__all__ = ["chromium", "page", "serve"]
