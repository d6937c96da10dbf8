"""The shop itself and the Django project: settings, people, stations, products, and the work done in the background.

Nothing is imported here, so that `shop.launch` runs on a bare Python; the Celery app is loaded by `shop.apps`.
"""
