"""Documents to bytes: JSON and CSV. The same document gives the same bytes.

Not here: what is in a document (core/report.py), paper and exchange formats.
"""
