"""Mail: a letter as bytes, and handing it to a mail server."""
