"""The audit: what a record shows when it is read afterwards, beside what the fold itself found.

`audit(kit, record, meta)` in rules.py runs every family; each family has a file of its own. A
finding judges a record, never a person, and says nothing of the outcome. It cites only events
that exist. Words for every rule stand in texts.py, and nowhere else.
"""
