"""Canalclock: records, times and warns at root canal irrigation; it does not judge."""

__version__ = "0.1.0"
