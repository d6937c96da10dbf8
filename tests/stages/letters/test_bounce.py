"""Bounces as RFC 3464 has them, and letters that are none."""

import mailbox
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from hypothesis import given
from hypothesis import strategies as st

from hulls.models import Message, MessageState
from stages.letters.bounce import read_bounce
from tests.stages.out_tray import a_letter_waiting, a_shop_that_writes

# After the examples of RFC 3464, appendix E, from memory and shortened: a failure, one beside a delay, a delay alone.
# Where the RFC says "[original message goes here]", a letter's head stands.
HEAD = """From: shop@example.org
Message-ID: <199407072116.RAA14128@CS.UTK.EDU>
Subject: hello
"""
E_1 = f"""Date: Thu, 7 Jul 1994 17:16:05 -0400
From: Mail Delivery Subsystem <MAILER-DAEMON@CS.UTK.EDU>
Message-Id: <199407072116.RAA14128@reporting.example>
Subject: Returned mail: Cannot send message for 5 days
To: <owner-info-mime@cs.utk.edu>
MIME-Version: 1.0
Content-Type: multipart/report; report-type=delivery-status;
      boundary="RAA14128.773615765/CS.UTK.EDU"

--RAA14128.773615765/CS.UTK.EDU

The original message was received at Sat, 2 Jul 1994 17:10:28 -0400
from root@localhost

   ----- The following addresses had delivery problems -----
<louisl@larry.slip.umd.edu>  (unrecoverable error)

--RAA14128.773615765/CS.UTK.EDU
content-type: message/delivery-status

Reporting-MTA: dns; cs.utk.edu

Original-Recipient: rfc822;louisl@larry.slip.umd.edu
Final-Recipient: rfc822;louisl@larry.slip.umd.edu
Action: failed
Status: 4.0.0
Diagnostic-Code: smtp; 426 connection timed out
Last-Attempt-Date: Thu, 7 Jul 1994 17:15:49 -0400

--RAA14128.773615765/CS.UTK.EDU
content-type: message/rfc822

{HEAD}
hello
--RAA14128.773615765/CS.UTK.EDU--
"""
E_2 = f"""Date: Fri, 8 Jul 1994 09:21:47 -0400
From: Mail Delivery Subsystem <MAILER-DAEMON@CS.UTK.EDU>
Subject: Returned mail: User unknown
To: <owner-ups-mib@CS.UTK.EDU>
MIME-Version: 1.0
Content-Type: multipart/report; report-type=delivery-status;
      boundary="JAA13167.773673707/CS.UTK.EDU"

--JAA13167.773673707/CS.UTK.EDU
content-type: text/plain; charset=us-ascii

   ----- The following addresses had delivery problems -----
<arathib@vnet.ibm.com>  (unrecoverable error)
<wsnell@sdcc13.ucsd.edu>  (unrecoverable error)

--JAA13167.773673707/CS.UTK.EDU
content-type: message/delivery-status

Reporting-MTA: dns; cs.utk.edu

Original-Recipient: rfc822;arathib@vnet.ibm.com
Final-Recipient: rfc822;arathib@vnet.ibm.com
Action: failed
Status: 5.0.0 (permanent failure)
Diagnostic-Code: smtp;  550 'arathib@vnet.IBM.COM' is not a
 registered gateway user
Remote-MTA: dns; vnet.ibm.com

Original-Recipient: rfc822;johnh@hpnjld.njd.hp.com
Final-Recipient: rfc822;johnh@hpnjld.njd.hp.com
Action: delayed
Status: 4.0.0 (hpnjld.njd.jp.com: host name lookup failure)

--JAA13167.773673707/CS.UTK.EDU
content-type: text/rfc822-headers

{HEAD}
--JAA13167.773673707/CS.UTK.EDU--
"""
E_3 = E_1.replace("Action: failed", "Action: delayed")


def test_a_failure_is_read_with_its_code_and_the_server_s_words() -> None:
    bounce = read_bounce(E_1.encode())
    assert bounce is not None
    assert bounce.message_id == "<199407072116.RAA14128@CS.UTK.EDU>"
    assert (bounce.status, bounce.words) == ("4.0.0", "426 connection timed out")


def test_words_over_several_lines_and_a_letter_of_which_the_head_alone_came_back() -> None:
    bounce = read_bounce(E_2.encode())
    assert bounce is not None
    assert bounce.message_id == "<199407072116.RAA14128@CS.UTK.EDU>"
    assert bounce.status == "5.0.0"
    assert bounce.words == "550 'arathib@vnet.IBM.COM' is not a registered gateway user"


@pytest.mark.parametrize(
    "content",
    [
        E_3.encode(),
        HEAD.encode(),
        b"",
        b"\x00\xff\xfe",
        E_1.replace("report-type=delivery-status", "report-type=disposition-notification").encode(),
        E_1.replace(HEAD, "From: x\n").encode(),
        E_1.partition("content-type: message/delivery-status")[0].encode(),
    ],
)
def test_what_is_late_or_no_bounce_at_all_is_none(content: bytes) -> None:
    assert read_bounce(content) is None


@given(st.binary(max_size=300), st.integers(0, len(E_1)))
def test_no_file_breaks_it(noise: bytes, at: int) -> None:
    read_bounce(noise)
    read_bounce(E_1.encode()[:at] + noise + E_1.encode()[at:])


@pytest.mark.django_db
def test_the_command_reads_files_and_maildirs_and_counts_each_once(tmp_path: Path) -> None:
    a_shop_that_writes()
    letter = a_letter_waiting(tag="H-7")
    Message.objects.update(
        state=MessageState.SENT, message_id="<199407072116.RAA14128@CS.UTK.EDU>", to_address="ada@example.org"
    )
    box = mailbox.Maildir(tmp_path / "mail", create=True)
    box.add(E_2.encode())
    box.add(HEAD.encode())
    (tmp_path / "late.eml").write_text(E_3)
    said = [bounces(tmp_path / "mail", tmp_path / "late.eml") for _ in range(2)]
    assert said[0].startswith("H-7 ada@example.org: 5.0.0")
    assert said[0].endswith("1 came back.\n")
    assert said[1] == "0 came back.\n"
    letter.refresh_from_db()
    assert letter.state == MessageState.BOUNCED


def test_the_command_says_so_where_nothing_lies() -> None:
    with pytest.raises(CommandError, match="There is no"):
        bounces(Path("/no/such/file.eml"))


def bounces(*paths: Path) -> str:
    out = StringIO()
    call_command("bounces", *map(str, paths), stdout=out)
    return out.getvalue()
