"""The demonstration clinic: our own scenario, roles instead of names, no patient.

Its events are made as a device makes them, the guard asked before each act, and posted through
the API like any other. Not here: anything that the service itself needs.
"""
