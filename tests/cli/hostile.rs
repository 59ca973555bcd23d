//! Files that are no product file at all, or made to do harm: one clear answer each, in bounded memory.

use crate::bench::Bench;
use insta::assert_snapshot;

#[cfg(unix)]
#[test]
fn aliases_that_multiply_are_refused() {
    let bench = Bench::new();
    let mut text = "a: &a [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for (one, next) in "abcdefghijklmno".chars().zip("bcdefghijklmnop".chars()) {
        let ten = vec![format!("*{one}"); 10].join(", ");
        text.push_str(&format!("{next}: &{next} [{ten}]\n"));
    }
    bench.file("products/bomb.yaml", text);
    assert_snapshot!(bench.check_in_little_memory("bomb"), @r"
    exit code 2
    --- stderr
    error[file/not-yaml]: the file holds more values than a file of this kind needs: the most is 20000
     --> products/bomb.yaml:5:8
      |
    5 | e: &e [*d, *d, *d, *d, *d, *d, *d, *d, *d, *d]
      |        ^ here
      |
    help: check that this is the file you meant; write values out plainly, without anchors (`&`, `*`)
    ");
}

#[cfg(unix)]
#[test]
fn a_hundred_thousand_levels_are_refused() {
    let bench = Bench::new();
    bench.file("products/list.yaml", "[".repeat(100_000));
    assert_snapshot!(bench.check_in_little_memory("list"), @"
    exit code 2
    --- stderr
    error[file/not-yaml]: lists or keys stand inside each other deeper than a file of this kind needs: the most is 40
     --> products/list.yaml:1:41
      |
    1 | [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[...
      |                                         ^ here
      |
    help: check the brackets and the indent
    ");
    bench.file("products/map.yaml", "{a: ".repeat(100_000));
    assert_snapshot!(bench.check_in_little_memory("map"), @"
    exit code 2
    --- stderr
    error[file/not-yaml]: lists or keys stand inside each other deeper than a file of this kind needs: the most is 40
     --> products/map.yaml:1:161
      |
    1 | ...: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: {a: ...
      |                                                                  ^ here
      |
    help: check the brackets and the indent
    ");
    bench.file("products/block.yaml", (0..1000).fold(String::new(), |all, n| all + &" ".repeat(n) + "a:\n"));
    assert_snapshot!(bench.check_in_little_memory("block"), @r"
    exit code 2
    --- stderr
    error[file/not-yaml]: lists or keys stand inside each other deeper than a file of this kind needs: the most is 40
      --> products/block.yaml:41:41
       |
    41 | ...                   a:
       |                       ^ here
       |
    help: check the brackets and the indent
    ");
    bench.file("products/dashes.yaml", "- ".repeat(100_000));
    assert_snapshot!(bench.check_in_little_memory("dashes"), @r"
    exit code 2
    --- stderr
    error[file/not-yaml]: lists or keys stand inside each other deeper than a file of this kind needs: the most is 40
     --> products/dashes.yaml:1:81
      |
    1 | - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - -...
      |                                                                                 ^ here
      |
    help: check the brackets and the indent
    ");
}

#[cfg(unix)]
#[test]
fn fifty_megabytes_are_refused_unread() {
    let bench = Bench::new();
    bench.file("products/large.yaml", "a: b\n".repeat(10_000_000));
    assert_snapshot!(bench.check_in_little_memory("large"), @r"
    exit code 2
    --- stderr
    error[file/too-large]: `products/large.yaml` has 50000000 bytes, and a file of this kind has at most 1048576
     |
    help: check that this is the file you meant; a product file has a few thousand bytes
    ");
}

#[cfg(unix)]
#[test]
fn a_megabyte_of_keys_is_refused() {
    let bench = Bench::new();
    let text = (0..100_000).fold(String::new(), |all, n| all + &format!("k{n}: 1\n"));
    bench.file("products/keys.yaml", text);
    assert_snapshot!(bench.check_in_little_memory("keys"), @r"
    exit code 2
    --- stderr
    error[file/not-yaml]: the file holds more values than a file of this kind needs: the most is 20000
         --> products/keys.yaml:10000:8
          |
    10000 | k9999: 1
          |        ^ here
          |
    help: check that this is the file you meant; write values out plainly, without anchors (`&`, `*`)
    ");
}

#[test]
fn utf_16_is_named() {
    let bench = Bench::new();
    let mut bytes = vec![0xFF, 0xFE];
    bytes.extend("product: Low Tide\n".encode_utf16().flat_map(u16::to_le_bytes));
    bench.file("products/wide.yaml", bytes);
    assert_snapshot!(bench.check("wide"), @r"
    exit code 2
    --- stderr
    error[file/not-utf-8]: `products/wide.yaml` is saved as UTF-16
     |
    help: save the file as UTF-8 text in your editor and try again
    ");
}

#[test]
fn latin_1_is_told_with_its_line() {
    let bench = Bench::new();
    bench.file("products/latin.yaml", b"product: Low Tide\nname: {fr: Mar\xE9e basse}\n");
    assert_snapshot!(bench.check("latin"), @r"
    exit code 2
    --- stderr
    error[file/not-utf-8]: `products/latin.yaml` is not UTF-8 text: line 2 has a character saved in another encoding
     |
    help: save the file as UTF-8 text in your editor and try again
    ");
}

#[test]
fn a_picture_is_no_text() {
    let bench = Bench::new();
    bench.file("products/picture.yaml", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR");
    assert_snapshot!(bench.check("picture"), @r"
    exit code 2
    --- stderr
    error[file/not-utf-8]: `products/picture.yaml` is not a text file
     |
    help: save the file as UTF-8 text in your editor and try again
    ");
}

#[test]
fn an_empty_file_is_told() {
    let bench = Bench::new();
    bench.file("products/empty.yaml", "");
    assert_snapshot!(bench.check("empty"), @r"
    exit code 2
    --- stderr
    error[file/wrong-shape]: a product is written as keys and values, and here stands nothing
     --> products/empty.yaml:1:1
      |
    1 |
      | ^ here
      |
    help: write the keys one to a line, for example `product: …`
    ");
    bench.file("products/empty.yaml", "# nothing yet\n");
    assert_snapshot!(bench.check("empty"), @r"
    exit code 2
    --- stderr
    error[file/wrong-shape]: a product is written as keys and values, and here stands nothing
     --> products/empty.yaml:1:15
      |
    1 | # nothing yet
      |              ^ here
      |
    help: write the keys one to a line, for example `product: …`
    ");
}

#[test]
fn a_list_is_no_product() {
    let bench = Bench::new();
    bench.file("products/list.yaml", "- product: Low Tide\n- kind: pillar\n");
    assert_snapshot!(bench.check("list"), @r"
    exit code 2
    --- stderr
    error[file/wrong-shape]: a product is written as keys and values, and here stands a list
     --> products/list.yaml:1:1
      |
    1 | - product: Low Tide
      | ^ here
      |
    help: write the keys one to a line, for example `product: …`
    ");
}

#[test]
fn two_documents_in_one_file_are_told() {
    let bench = Bench::new();
    bench.file("products/two.yaml", "product: Low Tide\n---\nproduct: Salt Lamp\n");
    assert_snapshot!(bench.check("two"), @r"
    exit code 2
    --- stderr
    error[file/not-yaml]: a second document begins here after `---`
     --> products/two.yaml:3:1
      |
    3 | product: Salt Lamp
      | ^ here
      |
    help: keep one product, material or vessel in a file
    ");
}

#[test]
fn a_tab_for_the_indent_is_told() {
    let bench = Bench::new();
    bench.file("products/tab.yaml", "product: Low Tide\nlabel:\n\ttemplate: pillar-band\n");
    assert_snapshot!(bench.check("tab"), @r"
    exit code 2
    --- stderr
    error[file/not-yaml]: the line cannot be read: tabs disallowed within this context (block indentation)
     --> products/tab.yaml:3:2
      |
    3 |     template: pillar-band
      |     ^ here
      |
    help: indent with spaces, not tabs
    ");
}

#[test]
fn a_forgotten_bracket_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "[44.5, 46.0, 43.2]", "[44.5, 46.0, 43.2");
    assert_snapshot!(bench.check("low-tide"), @r#"
    exit code 2
    --- stderr
    error[file/not-yaml]: the line cannot be read: illegal placement of ':' indicator
      --> products/low-tide.yaml:15:7
       |
    15 |   stop: 1/2 in
       |       ^ here
       |
    help: check the line and the one before: each bracket closed, the indent, a blank after the colon; put text with `: ` or ` #` into "quotes"
    "#);
}

#[test]
fn a_colon_inside_a_text_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "product: Low Tide", "product: Tide: low");
    assert_snapshot!(bench.check("low-tide"), @r#"
    exit code 2
    --- stderr
    error[file/not-yaml]: the line cannot be read: mapping values are not allowed in this context
     --> products/low-tide.yaml:2:14
      |
    2 | product: Tide: low
      |              ^ here
      |
    help: check the line and the one before: each bracket closed, the indent, a blank after the colon; put text with `: ` or ` #` into "quotes"
    "#);
}

#[test]
fn a_merge_key_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "product: Low Tide", "<<: {kind: pillar}\nproduct: Low Tide");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/not-yaml]: merge keys (`<<`) are not read here
     --> products/low-tide.yaml:2:1
      |
    2 | <<: {kind: pillar}
      | ^ here
      |
    help: write the values out
    ");
}

#[test]
fn a_file_saved_on_windows_reads_like_any_other() {
    let bench = Bench::new();
    let text = std::fs::read_to_string(bench.path("products/low-tide.yaml")).unwrap();
    bench.file("products/windows.yaml", format!("\u{feff}{}", text.replace('\n', "\r\n").replace("9 oz", "9")));
    assert_snapshot!(bench.check("windows"), @r"
    exit code 2
    --- stderr
    error[file/wrong-quantity]: `9` has no unit
     --> products/windows.yaml:9:7
      |
    9 | fill: 9                         # wax and fragrance in one candle, no wick, no jar
      |       ^ here
      |
    help: add one of `g`, `kg`, `mg`, `oz`, `lb`: for example `340 g`
    ");
}

#[cfg(unix)]
#[test]
fn thousands_of_faults_are_told_by_the_hundred() {
    let bench = Bench::new();
    let keys = (0..9000).fold("product: Low Tide".to_owned(), |all, n| all + &format!(", k{n}: 1"));
    bench.file("products/faults.yaml", format!("{{{keys}}}"));
    let told = bench.check_in_little_memory("faults");
    assert!(told.starts_with("exit code 2\n"), "{}", &told[..200]);
    assert_eq!(told.matches("error[file/unknown-key]").count(), 100);
    let end = told.split_once("error[file/more-faults]").expect("the rest is counted").1;
    assert_snapshot!(end, @r"
    : there are 8904 more faults
     |
    help: mend those told first, then look again
    ");
}

#[test]
fn odd_aliases_and_keys_are_told_in_plain_words() {
    let bench = Bench::new();
    let told = |text: &str| {
        bench.file("products/odd.yaml", text);
        let answer = bench.check("odd");
        answer.lines().filter(|l| l.starts_with("error") || l.starts_with("help")).collect::<Vec<_>>().join("\n")
    };
    assert_snapshot!(told("product: *nowhere\n"), @r#"
    error[file/not-yaml]: this alias (`*`) names an anchor (`&`) that is nowhere above it
    help: write the value out, or put text that begins with `*` into "quotes"
    "#);
    assert_snapshot!(told("product: &a [*a]\n"), @"
    error[file/not-yaml]: this alias (`*`) stands inside the value it stands for
    help: write the value out, without anchors (`&`, `*`)
    ");
    assert_snapshot!(told("~: Low Tide\n"), @r#"
    error[file/not-yaml]: here a key is missing before the colon
    help: write the key, or put it into "quotes" if it is `~` or `null`
    "#);
}

#[test]
fn nine_thousand_unknown_keys_on_one_line_are_told_in_short() {
    let bench = Bench::new();
    let keys: Vec<String> = (0..9000).map(|n| format!("k{n}: x")).collect();
    bench.file("products/keys.yaml", format!("{{{}}}\n", keys.join(", ")));
    let answer = bench.check("keys");
    assert!(answer.contains("file/more-faults"), "{}", &answer[..answer.len().min(2000)]);
}
