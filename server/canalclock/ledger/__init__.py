"""Append and read: every event as it was received, chained, never changed.

Not here: what events amount to (core/record), who may do what (accounts, api).
"""
