"""What a visit's events amount to: events, amendments, contents by depth, residue, totals.

Not here: any clock, any disk; and no advice, which is the guard's.
"""
