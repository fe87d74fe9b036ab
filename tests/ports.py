"""A port for a server that a test starts, which nobody else takes in the meantime."""

import random
import socket

BELOW = range(15_000, 30_000)  # under the ports that kernels and connections are given unasked (Linux: from 32768)


def free_port():
    """One that is free now; where a probe and a server are not one step, only a port nobody is given unasked stays so."""
    for port in random.SystemRandom().sample(BELOW, 100):
        with socket.socket() as probe:
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    raise OSError("of a hundred ports none is free")
