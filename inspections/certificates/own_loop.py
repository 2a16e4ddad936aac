"""Call what runs an event loop of its own, from a thread that may already have one (an asynchronous server's)."""

from concurrent.futures import ThreadPoolExecutor


def in_own_loop(call, *given, **named):
    """What `call(*given, **named)` returns or raises."""
    with ThreadPoolExecutor(max_workers=1) as apart:
        return apart.submit(call, *given, **named).result()
