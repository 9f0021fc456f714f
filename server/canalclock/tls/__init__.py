"""Https on the local network: a local authority, the machine's certificate, the way to trust it.

    interfaces  -> names       by what this machine is reached
    authority   -> certificate what devices trust; what the service shows them
    store                      both on disk, in <data>/tls
    own                        the clinic's own certificate, checked
    front                      the context that new connections get
    keeper                     renews while the service runs
    page, words -> entrance    the plain-http port: the page that brings a device to trust

`cryptography` is imported only by who asks for https. Not here: options and ports (cli/serve.py),
people and sessions (accounts/).
"""
