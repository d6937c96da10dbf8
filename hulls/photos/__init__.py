"""Image work on photos: told by their bytes, decoded once, turned upright, in sRGB, copied without anything hidden.

No Django here. What a stranger's file does to a decoder is kept away from the worker: `apart` runs this package as a
process of its own, with a bound on its memory and time.
"""
