"""Files and the disk at the shop: photos and texts that travel apart from their entries (LG13), and what lasts."""

from tests.faults.mutants.mutant import mutant

BLOBS = "server/standbook/ledger/blobs.py"
PHOTOS = "server/standbook/ledger/photos.py"
UPLOADS = "server/standbook/ledger/uploads.py"
DATABASE = "server/standbook/database.py"
SENT = "tests/api/test_photos.py::"
KEPT = "tests/ledger/test_blobs.py::"
LASTS = "tests/ledger/test_files_last.py::"

MUTANTS = (
    mutant(
        "LG13",
        "a file is kept under a hash that is not its own",
        BLOBS,
        '        raise Problem("hash_mismatch", found=found)\n    with named_errors():\n',
        "        pass\n    with named_errors():\n",
        KEPT + "test_bytes_that_do_not_fit_their_address_are_refused",
    ),
    mutant(
        "LG13",
        "a file that the disk has changed is handed out",
        BLOBS,
        "        if hashlib.sha256(data).hexdigest() != sha256:\n",
        "        if len(data) == 0:\n",
        KEPT + "test_a_file_that_the_disk_has_changed_is_not_handed_out",
    ),
    mutant(
        "LG13",
        "a file gets its name before its bytes are there",
        BLOBS,
        "            write_through(beside, data)\n            beside.replace(path)\n",
        "            path.touch()\n            write_through(beside, data)\n            beside.replace(path)\n",
        KEPT + "test_a_full_disk_leaves_no_half_file_and_heals",
    ),
    mutant(
        "LG13",
        "a photo is kept whatever its bytes are",
        PHOTOS,
        "            if found != sha256:\n",
        "            if False:\n",
        SENT + "test_lg13_bytes_that_are_not_those_of_the_address_are_thrown_away_and_told",
    ),
    mutant(
        "LG13",
        "bytes that came out wrong stay, and every later try fails on them",
        PHOTOS,
        "        except Problem:\n            self._uploads.drop(sha256)\n            raise\n",
        "        except Problem:\n            raise\n",
        SENT + "test_lg13_bytes_that_are_not_those_of_the_address_are_thrown_away_and_told",
    ),
    mutant(
        "LG13",
        "a piece is put wherever the file ends",
        UPLOADS,
        "        if here != offset:\n",
        "        if here < offset:\n",
        SENT + "test_lg13_a_piece_that_came_before_changes_nothing_and_is_told_where_to_go_on",
    ),
    mutant(
        "LG13",
        "after a cut the shop says that it has less of a photo than it has",
        PHOTOS,
        "        return self._uploads.offset(sha256), False\n",
        "        return self._uploads.offset(sha256) // 2, False\n",
        SENT + "test_lg13_after_a_cut_the_shop_says_how_much_it_has_and_goes_on_from_there",
    ),
    mutant(
        "LG13",
        "the shop says that it has a photo of which it has a piece",
        PHOTOS,
        "            if not piece.last:\n                return offset, False\n",
        "            if not piece.last:\n                return offset, True\n",
        SENT + "test_lg13_a_photo_in_pieces_is_kept_when_the_last_one_has_come",
    ),
    mutant(
        "LG13",
        "the pieces are dropped before the photo is kept",
        PHOTOS,
        "            self._keep(sha256, self._uploads.whole(sha256))\n            self._uploads.drop(sha256)\n",
        "            data = self._uploads.whole(sha256)\n"
        "            self._uploads.drop(sha256)\n            self._keep(sha256, data)\n",
        LASTS + "test_lg13_a_photo_that_a_full_disk_did_not_take_goes_on_from_where_it_was",
    ),
    mutant(
        "LG13",
        "a photo is kept with what the camera hid in it",
        "server/standbook/ledger/pictures.py",
        "    image.info.clear()\n",
        "",
        SENT + "test_what_a_camera_hides_beside_the_picture_does_not_reach_the_shop",
    ),
    mutant(
        "LG14",
        "the book is not written through to the disk",
        DATABASE,
        '"synchronous=FULL"',
        '"synchronous=OFF"',
        "tests/ledger/test_migrations.py::test_a_book_is_written_through_to_the_disk",
    ),
    mutant(
        "LG14",
        "a file is not flushed to the disk before it gets its name",
        BLOBS,
        "        file.flush()\n        os.fsync(file.fileno())\n",
        "        file.flush()\n",
        LASTS + "test_lg13_a_file_is_on_the_disk_before_it_has_its_name",
    ),
    mutant(
        "LG6",
        "a full disk is answered as held back",
        "server/standbook/ledger/service.py",
        'Answer(one.no, one.id, "refused", None, problem.code, problem.message)',
        'Answer(one.no, one.id, "held", None, problem.code, problem.message)',
        "tests/faults/test_full_disk.py::test_lg6_a_full_disk_refuses_the_batch_whole_and_takes_it_later",
    ),
)
