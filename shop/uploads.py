"""Files on their way in: kept on disk while they come, and no further than a bound."""

from typing import Any

from django.conf import settings
from django.core.files.uploadedfile import TemporaryUploadedFile, UploadedFile
from django.core.files.uploadhandler import SkipFile, TemporaryFileUploadHandler


class BoundedUpload(TemporaryFileUploadHandler):
    """Writes an upload to a temporary file; what comes past the bound is counted and thrown away.

    The other files and fields of the same form still arrive, and the form sees the true size of the one that was too
    large: it can refuse that one by name.
    """

    file: TemporaryUploadedFile

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        """Begin with the next file; one from somebody who is not logged in is passed over, since no page asks for it.

        Raises
        ------
        SkipFile
            For a stranger's: it is read off the line, and nothing of it reaches the disk.
        """
        user = getattr(self.request, "user", None)
        if user is None or not user.is_authenticated:
            raise SkipFile
        super().new_file(*args, **kwargs)
        self._kept = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> None:
        """Keep a chunk, if the bound is not reached."""
        if self._kept + len(raw_data) <= settings.LARGEST_UPLOAD:
            self._kept += len(raw_data)
            super().receive_data_chunk(raw_data, start)
        else:
            self._kept = settings.LARGEST_UPLOAD

    def file_complete(self, file_size: int) -> "UploadedFile[Any] | None":
        """Hand the file over with its true size."""
        if file_size > settings.LARGEST_UPLOAD:
            self.file.truncate(0)
        return super().file_complete(file_size)
