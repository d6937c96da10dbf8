"""Where photos lie: a folder of this machine, or a bucket behind the S3 protocol."""

from collections.abc import Mapping
from typing import Any

FOLDER: Mapping[str, Any] = {
    "BACKEND": "django.core.files.storage.FileSystemStorage",
    "OPTIONS": {"allow_overwrite": True},
}


def photo_storage(*, bucket: str, endpoint: str, region: str, key: str, secret: str) -> dict[str, Any]:
    """Django's setting of the storage of photos.

    Parameters
    ----------
    bucket
        Name of the bucket; empty for the folder.
    endpoint, region
        Where a service other than the protocol's first one answers.
    key, secret
        The account; empty leaves it to the machine's own role.
    """
    if not bucket:
        return dict(FOLDER)
    account = {"access_key": key, "secret_key": secret, "endpoint_url": endpoint, "region_name": region}
    return {
        "BACKEND": "storages.backends.s3.S3Storage",
        # Names are made here and never guessed; a copy that is made again lies where it lay. Browsers never go there.
        "OPTIONS": {
            "bucket_name": bucket,
            "default_acl": None,
            "file_overwrite": True,
            **{name: value for name, value in account.items() if value},
        },
    }
