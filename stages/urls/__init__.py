"""Addresses of the pages about work in progress, one module a group of pages."""
