from django.db import models


class Effect(models.Model):
    """What one job left behind; two rows of one key are a job that counted twice."""

    key = models.CharField(max_length=100)

    objects: models.Manager["Effect"] = models.Manager()

    def __str__(self) -> str:
        return self.key
