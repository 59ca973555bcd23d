//! The command line itself: help, slips of the finger, `new` and `explain`.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn a_misspelt_command_is_told_with_the_nearest() {
    assert_snapshot!(Bench::empty().run("lable products/low-tide.yaml"), @r"
    exit code 2
    --- stderr
    error: unrecognized subcommand 'lable'

      tip: a similar subcommand exists: 'label'

    Usage: waxbill <COMMAND>

    For more information, try '--help'.
    ");
}

#[test]
fn no_command_shows_them_all() {
    assert_snapshot!(Bench::empty().run(""), @"
    exit code 2
    --- stderr
    Works out, draws and reads back the warning label of a small-batch candle, and keeps the record of
    its lot

    Usage: waxbill <COMMAND>

    Commands:
      needs      List everything the label must carry, why, and the figures worked out
      label      Write the label as a PDF, read back before it is handed over
      pour       Open a lot: batch sheet, labels with the lot code, and an entry in the ledger
      check      Look for faults in a product file, or in a label that anybody has drawn, before any
                 paper is used
      explain    Tell a rule or a statement: words, source, evidence, when it applies, what you may
                 change
      classify   Work out the hazard classes of a candle or a bare mixture, with the reasons
      new        Make a small workshop that works at once
      ufi        Make a unique formula identifier (UFI) for the EU or Northern Ireland, or check one
      receive    Enter a delivery: a material lot with its safety sheet's revision
      lot        Show the record of a lot, or add to it
      lots       List the lots: curing, to be released, released, on hold, and what is on hand
      hand-over  Record units that leave
      trace      Follow a lot, material lot, label, safety sheet or buyer back to the materials and
                 forward to the buyers
      recall     Trace, stop what is on hand, and say who must be told what by when
      ledger     Verify, export, import, copy or restore the ledger; forget a buyer
      help       Print this message or the help of the given subcommand(s)

    Options:
      -h, --help     Print help
      -V, --version  Print version

    Exit codes: 0 fine, 1 findings, 2 bad input or usage, 3 the machine failed.
    Local codes and licensed practice come first. Nothing this program prints is legal advice.
    ");
}

#[test]
fn a_command_without_product_is_told() {
    assert_snapshot!(Bench::empty().run("check"), @r"
    exit code 2
    --- stderr
    error: the following required arguments were not provided:
      <PRODUCT>

    Usage: waxbill check <PRODUCT>

    For more information, try '--help'.
    ");
}

#[test]
fn a_misspelt_option_is_told_with_the_nearest() {
    assert_snapshot!(Bench::empty().run("needs a.yaml --markt us"), @r"
    exit code 2
    --- stderr
    error: unexpected argument '--markt' found

      tip: a similar argument exists: '--market'

    Usage: waxbill needs --market <MARKET> <PRODUCT>

    For more information, try '--help'.
    ");
}

#[test]
fn an_unknown_market_is_told_with_the_known_ones() {
    assert_snapshot!(Bench::empty().run("needs a.yaml --market usa"), @r"
    exit code 2
    --- stderr
    error: invalid value 'usa' for '--market <MARKET>'
      [possible values: us, ca, ca-qc, gb, ni, eu]

      tip: a similar value exists: 'us'

    For more information, try '--help'.
    ");
}

#[test]
fn a_day_that_is_none_is_told() {
    assert_snapshot!(Bench::empty().run("needs a.yaml --on 2026-02-30"), @r"
    exit code 2
    --- stderr
    error: invalid value '2026-02-30' for '--on <YYYY-MM-DD>': there is no such day; write year, month and day: 2026-11-25

    For more information, try '--help'.
    ");
    assert_snapshot!(Bench::empty().run("needs a.yaml --on 25.11.2026"), @r"
    exit code 2
    --- stderr
    error: invalid value '25.11.2026' for '--on <YYYY-MM-DD>': write year, month and day: 2026-11-25

    For more information, try '--help'.
    ");
}

#[test]
fn help_of_the_program() {
    assert_snapshot!(Bench::empty().run("--help"), @"
    exit code 0
    --- stdout
    Works out, draws and reads back the warning label of a small-batch candle, and keeps the record of
    its lot

    Usage: waxbill <COMMAND>

    Commands:
      needs      List everything the label must carry, why, and the figures worked out
      label      Write the label as a PDF, read back before it is handed over
      pour       Open a lot: batch sheet, labels with the lot code, and an entry in the ledger
      check      Look for faults in a product file, or in a label that anybody has drawn, before any
                 paper is used
      explain    Tell a rule or a statement: words, source, evidence, when it applies, what you may
                 change
      classify   Work out the hazard classes of a candle or a bare mixture, with the reasons
      new        Make a small workshop that works at once
      ufi        Make a unique formula identifier (UFI) for the EU or Northern Ireland, or check one
      receive    Enter a delivery: a material lot with its safety sheet's revision
      lot        Show the record of a lot, or add to it
      lots       List the lots: curing, to be released, released, on hold, and what is on hand
      hand-over  Record units that leave
      trace      Follow a lot, material lot, label, safety sheet or buyer back to the materials and
                 forward to the buyers
      recall     Trace, stop what is on hand, and say who must be told what by when
      ledger     Verify, export, import, copy or restore the ledger; forget a buyer
      help       Print this message or the help of the given subcommand(s)

    Options:
      -h, --help     Print help
      -V, --version  Print version

    Exit codes: 0 fine, 1 findings, 2 bad input or usage, 3 the machine failed.
    Local codes and licensed practice come first. Nothing this program prints is legal advice.
    ");
}

#[test]
fn help_of_needs() {
    assert_snapshot!(Bench::empty().run("needs --help"), @r"
    exit code 0
    --- stdout
    List everything the label must carry, why, and the figures worked out

    Usage: waxbill needs [OPTIONS] <PRODUCT>

    Arguments:
      <PRODUCT>  The product file

    Options:
          --market <MARKET>  Only this market (default: all of the product's) [possible values: us, ca,
                             ca-qc, gb, ni, eu]
          --on <YYYY-MM-DD>  With the rules in force on this day (default: today)
          --json             Answer as JSON
      -h, --help             Print help
      -V, --version          Print version

    Example: waxbill needs products/low-tide.yaml
    ");
}

#[test]
fn help_of_label() {
    assert_snapshot!(Bench::empty().run("label --help"), @r#"
    exit code 0
    --- stdout
    Write the label as a PDF, read back before it is handed over

    Usage: waxbill label [OPTIONS] [PRODUCT]

    Arguments:
      [PRODUCT]  The product file

    Options:
          --market <MARKET>    Only this market (default: all of the product's) [possible values: us,
                               ca, ca-qc, gb, ni, eu]
          --on <YYYY-MM-DD>    With the rules in force on this day (default: today)
          --lot <CODE>         The lot code to print; without one, space is left to write it in
      -o, --output <FILE.pdf>  Where to write the PDF (default: PRODUCT-MARKET.pdf in this folder)
          --show <STAGE>       Print a stage as JSON instead of writing a file: what the label needs to
                               carry where, or the placed page [possible values: plan, page]
          --proof <FILE.png>   Also write a picture of the label with ruler, cut, free edge, and what
                               was found with its measured height
          --png <DPI>          Also write a one-bit image of each part for a thermal printer with so
                               many dots per inch: 203, 300, 600
          --frames-printed     The labels in the printer bear the red frames of hazard pictograms
                               already; leave them out of the image
          --list               List the templates there are, built in and the workshop's, instead of
                               writing a label
          --pictures <FOLDER>  Also write a picture of each template into this folder
          --json               Answer as JSON
      -h, --help               Print help
      -V, --version            Print version

    On paper:
          --sheet <SHEET>      Labels many to a sheet: the name of a sheet (your `sheets` folder, or
                               built in) or its file; `PART=SHEET` for one part
          --start <N>          Begin the first sheet at this position, counted row by row from the upper
                               left; `PART=N` for one part
          --count <N>          How many labels of each part (default: what the first sheet holds; one
                               without `--sheet`)
          --part <PART>        Only this part of the label
          --serial <FROM..TO>  A label for each unit of the lot, numbered, each with its own QR code:
                               `1..24`
          --bleed <LENGTH>...  Print beyond the cut for a print shop, with its box in the file, marks at
                               folds and the line of the die: `3 mm`
          --crop-marks         Marks where to cut, on every plate
          --red <RED>          How red is printed: for your own printer, for a press with four inks, or
                               as an ink of its own [default: rgb] [possible values: rgb, cmyk, spot]
          --uncorrected        Leave the printer's error (`printer` in workshop.yaml) uncorrected
          --test-page          Print rulers to measure the printer's error with, and with `--sheet` the
                               outlines of its positions

    Examples:
      waxbill label products/low-tide.yaml --lot 26329A4 -o low-tide.pdf
      waxbill label products/low-tide.yaml --lot 26329A4 --part base --sheet a4-2x4-round --start 3
      --count 12
      waxbill label products/low-tide.yaml --lot 26329A4 --bleed "3 mm" --crop-marks
    "#);
}

#[test]
fn help_of_pour() {
    assert_snapshot!(Bench::empty().run("pour --help"), @"
    exit code 0
    --- stdout
    Open a lot: batch sheet, labels with the lot code, and an entry in the ledger

    Usage: waxbill pour [OPTIONS] --count <N> <PRODUCT>

    Arguments:
      <PRODUCT>  The product file

    Options:
          --market <MARKET>      Only this market (default: all of the product's) [possible values: us,
                                 ca, ca-qc, gb, ni, eu]
          --on <YYYY-MM-DD>      With the rules in force on this day (default: today)
          --count <N>            How many candles (or packs) to make
          --date <YYYY-MM-DD>    Day of the pour (default: today)
          --from <MATERIAL=LOT>  Take this material from this supplier's lot (again for a second lot;
                                 default: the oldest first)
          --json                 Answer as JSON
      -h, --help                 Print help
      -V, --version              Print version

    Example: waxbill pour products/low-tide.yaml --count 12 --date 2026-11-25
    ");
}

#[test]
fn help_of_check() {
    assert_snapshot!(Bench::empty().run("check --help"), @"
    exit code 0
    --- stdout
    Look for faults in a product file, or in a label that anybody has drawn, before any paper is used

    Usage: waxbill check [OPTIONS] [PRODUCT]

    Arguments:
      [PRODUCT]  The product file

    Options:
          --market <MARKET>    Only this market (default: all of the product's) [possible values: us,
                               ca, ca-qc, gb, ni, eu]
          --on <YYYY-MM-DD>    With the rules in force on this day (default: today)
          --stock              Look at the lots on hand instead: does what their labels say still hold
                               today?
          --label <FILE.pdf>   Read this label, whoever made it, and judge it against the product
          --text <FILE>        Judge the words of a plain text instead: size, place and colour stay
                               unread
          --part <PART=PAGE>   Which page prints which part: `front=1`, once for each (default: by the
                               size of the parts of the product's template, those of one size in its
                               order). Other pages are judged too
          --pages <FROM..TO>   The label is on these pages of the file, counted from 1: `3` or `3..4`
                               (default: all)
          --lot <CODE>         The lot the label is for: its code is looked for in words and in the QR
                               code
          --proof <OUT.png>    Also write a picture of the label: what was found in blue, what is wrong
                               in red, what is missing at the side
          --workshop <FOLDER>  The workshop's folder (default: the one around this folder)
          --json               Answer as JSON
      -h, --help               Print help
      -V, --version            Print version

    Examples:
      waxbill check products/low-tide.yaml
      waxbill check products/low-tide.yaml --label drawn.pdf --part front=1 --part base=2 --lot 26329A4
    ");
}

#[test]
fn help_of_explain() {
    assert_snapshot!(Bench::empty().run("explain --help"), @r"
    exit code 0
    --- stdout
    Tell a rule or a statement: words, source, evidence, when it applies, what you may change

    Usage: waxbill explain [OPTIONS] [ID]

    Arguments:
      [ID]  A rule (`us/identity`), a statement (`trim wick`), or both (`us/care-trim#trim wick`)

    Options:
          --json     Answer as JSON
      -h, --help     Print help
      -V, --version  Print version

    Example: waxbill explain us/net-quantity-height
    ");
}

#[test]
fn help_of_new() {
    assert_snapshot!(Bench::empty().run("new --help"), @r"
    exit code 0
    --- stdout
    Make a small workshop that works at once

    Usage: waxbill new <FOLDER>

    Arguments:
      <FOLDER>  The folder to make; it must not exist yet, or be empty

    Options:
      -h, --help     Print help
      -V, --version  Print version

    Example: waxbill new my-bench
    ");
}

#[test]
fn a_new_workshop_works_at_once() {
    let bench = Bench::empty();
    assert_snapshot!(bench.run("new my-bench"), @r"
    exit code 0
    --- stdout
    my-bench: a workshop with two products. Write your own name and address into my-bench/workshop.yaml, then try
      waxbill needs my-bench/products/low-tide.yaml
      waxbill label my-bench/products/low-tide.yaml
      waxbill pour my-bench/products/low-tide.yaml --count 6
    ");
    for product in ["low-tide", "dune-grass"] {
        let told = bench.on_the_day(&format!("check my-bench/products/{product}.yaml"));
        assert!(told.starts_with("exit code 0\n"), "{told}");
    }
}

#[test]
fn a_folder_in_use_is_left_alone() {
    let bench = Bench::new();
    assert_snapshot!(bench.run("new products"), @r"
    exit code 2
    --- stderr
    error[file/folder-in-use]: `products` is there already and not empty
     |
    help: name a folder that does not exist yet; nothing in this one was touched
    ");
    assert_snapshot!(bench.run("new workshop.yaml"), @r"
    exit code 2
    --- stderr
    error[file/not-a-folder]: `workshop.yaml` is a file
     |
    help: name a folder
    ");
}

#[test]
fn a_rule_is_explained_with_words_source_and_file() {
    assert_snapshot!(Bench::empty().run("explain us/net-quantity-height"), @r"
    exit code 0
    --- stdout
    us/net-quantity-height: Height of the net quantity by the area of the panel
      required by law; text of the law read
      The larger the panel, the higher the letters of the net quantity, so that it can be read where the product stands.
      least height: by the area of the front panel, table `us-panel-height` (net quantity)
      holds for: net quantity
      applies when: market us
      you may: Make the letters larger in the template, never smaller.
      source: 16 CFR 500.21(b), Regulations under section 4 of the Fair Packaging and Labeling Act, 16 CFR part 500 (text of the law read; looked at 2026-11-25)
      source: 16 CFR 500.21(d), Regulations under section 4 of the Fair Packaging and Labeling Act, 16 CFR part 500 (text of the law read; looked at 2026-11-25)
      source: 16 CFR 500.21(h), Regulations under section 4 of the Fair Packaging and Labeling Act, 16 CFR part 500 (text of the law read; looked at 2026-11-25)
      file: rules/us/net-quantity-height.yaml
    ");
}

#[test]
fn a_statement_is_explained_with_its_rules() {
    assert_snapshot!(Bench::empty().args(&["explain", "trim wick"]), @"
    exit code 0
    --- stdout
    statement `trim wick`
        Trim wick to {trim} before lighting.

    ca/care-trim: Trim the wick
      usual advice; regulator's text read
      A long wick smokes and gives a high flame.
      prints (trim wick):
        Trim wick to {trim} before lighting.
      figure: trim = 5 mm
      applies when: market ca, ca-qc; kind is container candle or pillar or taper or votive; wick is cotton or paper or hemp
      you may: Change the length with `wick: {trim: …}` in the product file; print the length you tested with.
      source: government of Quebec on candles, Advice of the government of Quebec on candles (regulator's text read; looked at 2026-11-25)
      file: rules/ca/care-trim.yaml

    us/care-trim: Trim the wick
      usual advice; read second hand
      A long wick smokes and gives a high flame.
      prints (trim wick):
        Trim wick to {trim} before lighting.
      figure: trim = 1/4 in
      applies when: market us; kind is container candle or pillar or taper or votive; wick is cotton or paper or hemp
      you may: Change the length with `wick: {trim: …}` in the product file; print the length you tested with.
      source: trade association rules, Candle fire-safety rules of a trade association, as copied on several pages (read second hand; looked at 2026-11-25)
      source: thesis on smoke points, Master's thesis on the smoke points of candles (read second hand; looked at 2026-11-25)
      file: rules/us/care-trim.yaml
    ");
    assert_snapshot!(Bench::empty().run("explain us/care-trim#trim"), @r"
    exit code 2
    --- stderr
    error[explain/no-statement]: the rule `us/care-trim` has no statement `trim`
     |
    help: its statements are `trim wick`
    ");
}

#[test]
fn a_misspelt_rule_is_told_with_those_near() {
    assert_snapshot!(Bench::empty().run("explain us/net-quantity-hight"), @r"
    exit code 2
    --- stderr
    error[explain/unknown]: there is no rule or statement `us/net-quantity-hight`
     |
    help: did you mean `us/net-quantity-height`? `waxbill explain` without an id lists all of them
    ");
    assert_snapshot!(Bench::empty().run("explain wick-lead"), @"
    exit code 2
    --- stderr
    error[explain/unknown]: there is no rule or statement `wick-lead`
     |
    help: did you mean `ca/wick-lead`, `us/wick-lead`? `waxbill explain` without an id lists all of them
    ");
    assert_snapshot!(Bench::empty().run("explain moonlight"), @r"
    exit code 2
    --- stderr
    error[explain/unknown]: there is no rule or statement `moonlight`
     |
    help: `waxbill explain` without an id lists all of them
    ");
}

#[test]
fn the_id_of_a_finding_that_is_no_rule_is_told() {
    for id in ["lot/material-lot-unknown", "hazard/no-such-class", "pdf/broken", "ufi/check"] {
        let said = Bench::empty().run(&format!("explain {id}"));
        assert!(said.contains("is no rule but the name of a fault"), "{said}");
    }
    assert_snapshot!(Bench::empty().run("explain practice/max-load"), @r"
    exit code 0
    --- stdout
    practice/max-load: The load a wax can hold
      usual advice; read second hand
      More fragrance than the wax holds sweats out and may flare up near the flame.
      applies when: market us, ca, ca-qc, gb, ni, eu
      you may: Lower the load, or correct `max load` in the material file from its supplier's sheet.
      source: teaching pages of the trade, Teaching pages and handbooks of the trade, which partly disagree (read second hand; looked at 2026-11-25)
      file: rules/practice/max-load.yaml
    ");
    assert_snapshot!(Bench::empty().run("explain file/unknown-key"), @r"
    exit code 2
    --- stderr
    error[explain/unknown]: `file/unknown-key` is no rule but the name of a fault in a file, a label or a record
     |
    help: the message itself says what is wrong and how to mend it
    ");
}
