"""Number types of the formulas, and the decorator that serves floats and arrays alike.

A formula takes floats or numpy arrays, which broadcast, and gives a float when every number it
was given is a float. It never raises on a number, never warns and never clamps: nan propagates,
a division by zero gives an infinity or nan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from threading import local
from typing import Any, TypeAlias, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]
Number: TypeAlias = "float | Array"

# Floats in, float out; arrays in, array out. To mix both, type one of the arguments as Number.
N = TypeVar("N", float, Array, "float | Array")
Formula = TypeVar("Formula", bound=Callable[..., object])


class _Silence(local):
    """Whether numpy is silent in this thread: asking it to be costs more than most formulas."""

    kept = False


_silence = _Silence()


@contextmanager
def silently() -> Iterator[None]:
    """Let numpy compute without a word: what it divides by zero is an infinity or nan."""
    if _silence.kept:
        yield
        return
    with np.errstate(all="ignore"):
        _silence.kept = True
        try:
            yield
        finally:
            _silence.kept = False


def formula(function: Formula) -> Formula:
    """Let a function of floats or arrays compute silently and give plain floats for floats."""

    def evaluated(args: tuple[Any, ...], kwargs: dict[str, Any]) -> Any:
        kinds = set(map(type, args))
        if not kwargs and kinds == {float}:
            try:
                # Python's own floats give the same numbers, several times as fast.
                return _plain(function(*args))
            except ArithmeticError:
                # They raise where numpy's go on with an infinity or nan.
                pass
        if kwargs or kinds != {np.ndarray}:
            args = tuple(map(_in_numpy, args))
            kwargs = {name: _in_numpy(argument) for name, argument in kwargs.items()}
        return _plain(function(*args, **kwargs))

    @wraps(function)
    def computed(*args: Any, **kwargs: Any) -> Any:
        # As `silently` does it, but without its context manager, which costs more than the formula.
        if _silence.kept:
            return evaluated(args, kwargs)
        with np.errstate(all="ignore"):
            _silence.kept = True
            try:
                return evaluated(args, kwargs)
            finally:
                _silence.kept = False

    return cast(Formula, computed)


def log(value: N) -> N:
    """Natural logarithm, nan below zero."""
    return cast(N, np.log(value))


def exp(value: N) -> N:
    """Exponential function."""
    return cast(N, np.exp(value))


def power(base: N, exponent: N | float) -> N:
    """Base to the exponent, nan where that is not a real number."""
    return cast(N, np.power(base, exponent))


def square_root(value: N) -> N:
    """Square root, nan below zero."""
    return cast(N, np.sqrt(value))


def smaller(first: N, second: N | float) -> N:
    """The smaller of two, nan if either is."""
    return cast(N, np.minimum(first, second))


def larger(first: N, second: N | float) -> N:
    """The larger of two, nan if either is."""
    return cast(N, np.maximum(first, second))


def choose(condition: object, value: N, otherwise: N | float) -> N:
    """The value where the condition holds, the other elsewhere."""
    return cast(N, np.where(cast(Any, condition), value, otherwise))


def only_where(condition: object, value: N) -> N:
    """The value where the condition holds, nan elsewhere."""
    return choose(condition, value, np.nan)


def _in_numpy(argument: Any) -> Any:
    """Floats as numpy's, which divide by zero without raising; anything else as it is."""
    if type(argument) is np.ndarray:
        return argument
    if isinstance(argument, (float, int)) and not isinstance(argument, bool):
        return np.float64(argument)
    if isinstance(argument, (tuple, list)):
        return tuple(_in_numpy(element) for element in argument)
    return argument


def _plain(result: Any) -> Any:
    """Python's own float or bool where numpy made a scalar, so that no numpy type leaks out."""
    if isinstance(result, np.generic) or (type(result) is np.ndarray and result.ndim == 0):
        return result.item()
    return result
