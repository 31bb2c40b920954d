"""What a process that reads a stranger's file may use: memory, time, disk, and no more files."""

from __future__ import annotations

MEMORY = 6 * 2**30
CPU_S = 600
FILE = 8 * 2**30


def narrow() -> None:
    """Hold this process to the limits for good; where the system knows none, there are none."""
    try:
        import resource
    except ImportError:
        return
    wanted = (
        ("RLIMIT_AS", MEMORY),
        ("RLIMIT_CPU", CPU_S),
        ("RLIMIT_FSIZE", FILE),
        ("RLIMIT_CORE", 0),
    )
    for name, most in wanted:
        kind = getattr(resource, name, None)
        if kind is None:
            continue
        _, hard = resource.getrlimit(kind)
        most = most if hard == resource.RLIM_INFINITY else min(most, hard)
        try:
            resource.setrlimit(kind, (most, most))
        except (OSError, ValueError):
            # Some systems know a limit but do not let it be set.
            continue
