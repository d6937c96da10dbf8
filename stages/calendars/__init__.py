"""Calendar feeds: what is planned as iCalendar (RFC 5545)."""
