"""``{{ station.name|stored }}``."""

from django import template

from shop.stored import stored

register = template.Library()
register.filter("stored", stored)
