"""Who works here: the clinic, its rooms, its staff and its devices.

Staff are never removed, since old visits name them. Not here: proof of who somebody is.
"""
