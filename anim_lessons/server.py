"""The line between the page and Python, without small messages waiting for one another.

By default a small message waits until the one before it is acknowledged (Nagle's algorithm, RFC 896),
and a browser that has nothing to send acknowledges late: some 40 ms between a move of the hand
and its verdict. JupyterLab takes this class by its own option `kernel_websocket_connection_class`.
"""

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class PromptConnection(ZMQChannelsWebsocketConnection):
    """JupyterLab's own connection, with every message sent at once."""

    def connect(self):
        self.websocket_handler.set_nodelay(True)
        return super().connect()
