"""What the clinic wants done: the written protocol, read strictly and bound to small units.

Not here: what happened (record), nor what is wise (the guard warns, people decide).
"""
