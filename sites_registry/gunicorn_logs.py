"""What the web server itself says, without the links that let somebody in. `make serve` names this class."""

from gunicorn.glogging import Logger

from sites_registry.logs import Readable


class RedactedLog(Logger):
    def _set_handler(self, log, output, fmt, stream=None):
        super()._set_handler(log, output, Readable(fmt._fmt, fmt.datefmt), stream)
