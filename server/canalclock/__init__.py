"""Canalclock: records, times and warns at root canal irrigation; judgement stays with the dentist."""

__version__ = "0.1.0"
