"""A second, independent implementation of the rules of calculation: an oracle for the tests."""

from .appraisal import results_of

__all__ = ["results_of"]
