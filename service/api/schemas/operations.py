"""How the service itself is."""

from service.api.fields import Str
from service.api.schemas.family import Answer, answered


class ServiceStatus(Answer):
    """How the service is. Where it is not as one would wish, the answer is a problem."""

    status = answered(Str, "`ok`: the process answers; `ready`: its database too.")
