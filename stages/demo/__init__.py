"""The demo shop: invented people, places and boats, driven to where they stand through the services alone."""
