"""Advice for people who do their own boat."""
