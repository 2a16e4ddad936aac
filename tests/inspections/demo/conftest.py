import pytest
from django.db.models import Model


@pytest.fixture(scope="module", autouse=True)
def what_holds_between_rows_is_left_to_the_database():
    """It holds every constraint and refuses what breaks one; asking it before each save takes a third of a load."""
    full_clean = Model.full_clean

    def clean_fields(self, exclude=None, validate_unique=True, validate_constraints=True):
        full_clean(self, exclude=exclude, validate_unique=False, validate_constraints=False)

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Model, "full_clean", clean_fields)
        yield
