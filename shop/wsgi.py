"""What the web server calls."""

import os

from django.conf import settings
from django.core.wsgi import get_wsgi_application
from granian.utils.proxies import wrap_wsgi_with_proxy_headers

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

application = get_wsgi_application()
if settings.TRUSTED_PROXIES:
    # Behind a proxy that ends TLS: believe its word, and no one else's, on the client's address and on https.
    application = wrap_wsgi_with_proxy_headers(application, trusted_hosts=settings.TRUSTED_PROXIES)
