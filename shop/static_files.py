"""Static files under names that hold a hash of what is in them, modules that import each other too."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedFiles(CompressedManifestStaticFilesStorage):  # type: ignore[misc]
    """As WhiteNoise has it, with the addresses in ``import`` and ``export`` of modules written anew as well.

    A page then loads modules of one version, and a phone can keep each for as long as a page that it holds names it.
    """

    support_js_module_import_aggregation = True
    # Of our own modules alone: what libraries write in their comments looks like one too.
    _js_module_import_aggregation_patterns = (
        "js/*.js",
        CompressedManifestStaticFilesStorage._js_module_import_aggregation_patterns[1],
    )
