"""Pictures of time: a coat's age curve and a zone's air, ready for the templates. No Django, no clock.

A picture is as wide as its page: positions along time are per cent of the width, heights are CSS pixels, and path data
stands in units that stretch (`timeline.WIDTH` across, `strips.FINE` to a pixel). So its words keep their size.
"""
