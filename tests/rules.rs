//! The rules as data: their files, their sources, their words, and how a wrong row is told.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use waxbill::law::{self, Book, Fact, Fault};
use waxbill::trade::{Evidence, Lang};
use waxbill::unit::{Hours, Length, Temperature};

/// All files below `rules`, as path from there and text.
fn folder() -> Vec<(String, String)> {
    fn walk(dir: &Path, out: &mut Vec<(String, String)>) {
        for entry in fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, out);
            } else {
                let name = path.strip_prefix("rules").unwrap().to_str().unwrap().replace('\\', "/");
                out.push((name, fs::read_to_string(&path).unwrap()));
            }
        }
    }
    let mut out = Vec::new();
    walk(Path::new("rules"), &mut out);
    out.sort();
    out
}

/// Reads the folder with one file more.
fn with(path: &str, text: &str) -> Result<Book, Vec<Fault>> {
    let mut files = folder();
    files.retain(|(name, _)| name != path);
    files.push((path.to_owned(), text.to_owned()));
    law::read(&files)
}

/// The faults of a rule file, a line each.
fn faults(text: &str) -> String {
    let faults = with("us/tried.yaml", text).expect_err("the rule is wrong");
    faults.iter().map(|f| format!("{f}\n")).collect()
}

const GOOD: &str = "title: Tried
markets: [us]
severity: required
applies: {kind: [pillar]}
needs: [trim wick]
block: care
height: none
because: It is tried.
you may: Try another.
source:
  - {law: 16-cfr-500, clause: \"500.4\", seen: law, read: 2026-11-25}
";

#[test]
fn a_folder_read_at_run_time_gives_the_built_in_rules() {
    let read = law::read(&folder()).unwrap();
    let built_in = law::builtin();
    assert_eq!(read.rules, built_in.rules);
    assert_eq!(read.sources, built_in.sources);
    assert_eq!(read.wording, built_in.wording);
    assert_eq!(read.tables, built_in.tables);
    assert_eq!(read.factors, built_in.factors);
}

#[test]
fn every_file_of_a_rule_is_a_rule_and_its_path_is_the_id() {
    let files: BTreeSet<_> = folder().into_iter().map(|(name, _)| name).collect();
    let told: BTreeSet<_> = law::rules().iter().map(|r| format!("{}.yaml", r.id)).collect();
    let elsewhere = |f: &&String| {
        ["wording/", "tables/", "hazard/", "markets/", "fill/", "recall/", "label/"].iter().any(|d| f.starts_with(d))
            || !f.contains('/')
    };
    let rules: BTreeSet<_> = files.iter().filter(|f| !elsewhere(f)).cloned().collect();
    assert_eq!(told, rules);
    for rule in law::rules() {
        assert_eq!(rule.file, format!("rules/{}.yaml", rule.id));
        assert!(law::rule(rule.id) == Some(rule));
    }
}

#[test]
fn every_source_is_cited_and_every_text_is_needed() {
    let rows = law::builtin().tables.iter().flat_map(|t| t.rows.iter().map(|r| r.source));
    let cited: BTreeSet<_> = law::rules().iter().flat_map(|r| r.sources.iter().map(|c| c.law)).chain(rows).collect();
    assert_eq!(cited, law::builtin().sources.iter().map(|s| s.key).collect());
    let needed: BTreeSet<_> = law::rules().iter().flat_map(|r| r.needs.iter().copied()).collect();
    let worded: BTreeSet<_> = law::builtin().wording.iter().filter(|w| w.lang == Lang::En).map(|w| w.key).collect();
    assert_eq!(needed, worded);
    let named: BTreeSet<_> = law::builtin().wording.iter().flat_map(|w| law::placeholders(w.text)).collect();
    assert_eq!(named, law::PLACEHOLDERS.iter().map(|(name, _)| *name).collect());
}

#[test]
fn the_template_is_a_rule_and_explains_every_key() {
    let text = fs::read_to_string("rules/TEMPLATE.yaml").unwrap();
    let book = with("us/template.yaml", &text).unwrap_or_else(|f| panic!("{f:?}"));
    assert_eq!(book.rule("us/template").unwrap().figure::<Length>("trim"), Some(Length::inch(1, 4)));
    for fact in Fact::ALL {
        let line = format!("#   {:<16} {}\n", fact.word(), fact.values().join(", "));
        assert!(text.contains(&line), "TEMPLATE.yaml lacks: {line}");
    }
}

#[test]
fn a_rule_known_from_memory_is_refused_as_required() {
    let memory = GOOD.replace("seen: law", "seen: memory");
    insta::assert_snapshot!(faults(&memory), @"rules/us/tried.yaml:3:11: a rule known only from memory cannot be `required`: read its source, choose `standard` or `advice`, or say in `stricter` why being wrong does no harm");
    let stricter = memory.replace("applies:", "stricter: The label only says more.\napplies:");
    assert!(with("us/tried.yaml", &stricter).is_ok());
    assert!(with("us/tried.yaml", &memory.replace("required", "advice")).is_ok());
}

#[test]
fn advice_and_policy_never_claim_to_be_law() {
    for severity in ["advice", "policy"] {
        let good = GOOD.replace("severity: required", &format!("severity: {severity}"));
        assert!(with("us/tried.yaml", &good).is_ok());
        for claim in ["This is required.", "Do it by law.", "Required everywhere."] {
            assert!(faults(&good.replace("It is tried.", claim)).contains("may not say"), "{claim}");
        }
    }
}

#[test]
fn a_wrong_row_is_told_with_its_place_and_what_would_be_right() {
    let wrong = GOOD
        .replace("[pillar]", "[pilar]")
        .replace("height: none", "height: {least: 2, measure: capital}")
        .replace("law: 16-cfr-500", "law: 16-cfr-5000")
        .replace("2026-11-25", "2026-02-30")
        .replace("Try another.", "Try another");
    insta::assert_snapshot!(faults(&wrong), @"
    rules/us/tried.yaml:4:18: `pilar` is not a value of `kind`: use one of `container candle`, `pillar`, `taper`, `votive`, `tea light`, `wax melt`
    rules/us/tried.yaml:7:17: `2` has no unit; add one of `mm`, `cm`, `m`, `in`, `pt`: for example `73 mm`
    rules/us/tried.yaml:9:10: is not one plain sentence with a full stop
    rules/us/tried.yaml:11:11: `16-cfr-5000` is not in `rules/sources.yaml`, which has `15-usc-1261`, `15-usc-39`, `16-cfr-1115`, `16-cfr-1500`, `16-cfr-500`, `16-cfr-501`, `16-cfr-503`, `2024-2865`, `2025-2439`, `27-ccr-25600`, `80-fr-71686`, `astm-f2058`, `baua`, `california-questions-2017`, `candles-regs`, `cccr`, `ccpsa`, `clp`, `common-practice`, `competition-bureau`, `cpla`, `cplr`, `dir-76-211`, `echa-1726`, `en-15494`, `fr-arrete-1978`, `fr-decret-2017-946`, `gb-clp`, `gb-gpsr-2005`, `gb-gpsr-guidance`, `gb-quantity-guidance`, `gb-wm-2006`, `gpsr`, `health-canada-candles`, `house`, `iso-18004`, `iso-7064`, `nf-en-16740`, `nist-hb-133`, `nsai-e-mark`, `qc-charter`, `qc-commerce-language`, `quebec-candles`, `smoke-points-2007`, `sr-ni-1999-84`, `teaching`, `trade-fire-rules`, `trade-quantity-note`, `windsor-framework`
    rules/us/tried.yaml:11:58: `2026-02-30` is not a day: write it as `2026-11-25`
    ");
    insta::assert_snapshot!(faults(&GOOD.replace("kind:", "king:")), @"rules/us/tried.yaml:4:11: `king` is not one of `kind`, `wick`, `metal core`, `wicks`, `scented`, `vessel`, `lid`, `burn claim`, `california`, `california risk`, `pieces`, `panel`, `qr code`, `phone`, `classified`, `hazard text`, `signal word`, `hazard statement`, `precaution`, `supplement`, `hazard names`, `unknown toxicity`, `ufi due`, `small pack`, `maker in the eu`, `maker in the uk`, `maker in canada`, `ornamental container`, `local product`, `small surface`, `france`, `e mark`, `trim given`, `distance given`, `stop given`, `session given`, `cool given`");
    insta::assert_snapshot!(faults(&GOOD.replace("[trim wick]", "[polish wick]")), @"rules/us/tried.yaml: the statement `polish wick` has no words in `rules/wording/en.yaml`");
    insta::assert_snapshot!(faults(&GOOD.replace("block: care\n", "")), @"rules/us/tried.yaml:5:9: a rule with statements names the `block` they stand in");
    insta::assert_snapshot!(faults(&GOOD.replace("height: none", "heihgt: none")), @"rules/us/tried.yaml:7:1: unknown field `heihgt`, expected one of title, markets, severity, stricter, applies, needs, governs, block, symbols, panel, height, bold, clear space, lowest percent, figures, because, you may, source, valid");
    insta::assert_snapshot!(faults(&GOOD.replace("height: none", "height: {table: moon, measure: capital}")), @"rules/us/tried.yaml: there is no table `moon`: `rules/tables` has `ca-panel-height`, `clp-letter-height`, `eu-figure-height`, `policy-warning-height`, `us-panel-height`");
    insta::assert_snapshot!(faults(&GOOD.replace("title: Tried\nmarkets: [us]", "markets: [us]\ntitle: Tried")), @"rules/us/tried.yaml:2:1: `title` stands before `markets` in a rule file");
}

#[test]
fn a_rule_that_asks_for_a_height_names_what_it_governs() {
    let check = GOOD.replace("needs: [trim wick]\nblock: care", "needs: []");
    assert!(with("us/tried.yaml", &check).is_ok(), "a rule may be only a check");
    let height = check.replace("height: none", "height: {least: 2 mm, measure: capital}");
    assert!(faults(&height).contains("has no statements and `governs` none"));
    let governs = |what: &str| height.replace("needs: []", &format!("needs: []\ngoverns: [{what}]"));
    assert!(with("us/tried.yaml", &governs("care")).is_ok(), "a block");
    assert!(with("us/tried.yaml", &governs("trim wick")).is_ok(), "a statement");
    assert!(faults(&governs("moon")).contains("governs `moon`, which is neither a block nor a statement"));
}

#[test]
fn a_rule_without_source_or_with_a_doubled_key_is_refused() {
    let none = GOOD.split("source:").next().unwrap().to_owned();
    assert!(faults(&none).contains("source"));
    assert!(faults(&format!("{none}source: []\n")).contains("cannot be told from a guess"));
    assert!(faults(&format!("{GOOD}title: Twice\n")).contains("title"));
    assert!(faults(&GOOD.replace("required", "input")).contains("`input` is for faults of files"));
    assert!(faults(&format!("{GOOD}valid: {{from: 2026-02-01, to: 2026-01-31}}\n")).contains("ends before it begins"));
    assert!(faults("").contains("rules/us/tried.yaml"));
    assert!(faults(&"[".repeat(100_000)).contains("rules/us/tried.yaml"));
    assert!(with("us/Tried.yaml", GOOD).unwrap_err()[0].message.contains("only small letters"));
    assert!(with("tried.yaml", GOOD).unwrap_err()[0].message.contains("is no place for a rule"));
}

#[test]
fn a_text_with_an_unknown_placeholder_is_refused() {
    let words = fs::read_to_string("rules/wording/en.yaml").unwrap().replace("{trim} before", "{trimm} before");
    let faults = with("wording/en.yaml", &words).unwrap_err();
    assert_eq!(faults.len(), 2);
    assert!(faults[0].message.starts_with("statement `trim wick`: `{trimm}` is not one of `{product name}`"));
}

#[test]
fn a_table_with_a_gap_between_bands_is_refused() {
    let table = fs::read_to_string("rules/tables/us-panel-height.csv").unwrap().replace("\n5,25,", "\n6,25,");
    let faults = with("tables/us-panel-height.csv", &table).unwrap_err();
    assert_eq!(faults[0].to_string(), "rules/tables/us-panel-height.csv:5: does not begin where the line before ends");
}

#[test]
fn figures_of_rules_are_quantities() {
    let figure = |id: &str, name: &str| law::rule(id).unwrap().figure::<Length>(name);
    assert_eq!(figure("us/care-trim", "trim"), Some(Length::inch(1, 4)));
    assert_eq!(figure("us/care-trim-wood", "trim"), Some(Length::inch(3, 16)), "common practice, no source");
    assert_eq!(figure("us/care-stop", "stop"), Some(Length::inch(1, 2)), "common practice, no source");
    assert_eq!(law::rule("us/care-session").unwrap().figure("session"), Some(Hours::h(4)));
    assert_eq!(law::rule("practice/pot-temperature").unwrap().figure("warn above"), Some(Temperature::c(100)));
    assert_eq!(law::rule("practice/vessel-water-band").unwrap().figure_text("least"), Some("0.75"));
    assert_eq!(figure("us/care-trim", "polish"), None);
}

#[test]
fn a_policy_is_known_as_ours_even_where_it_borrows_a_figure() {
    let rule = law::rule("policy/warning-signal-by-panel").unwrap();
    assert_eq!((rule.seen(), rule.citation()), (Evidence::Policy, "house policy".to_owned()));
    let rule = law::rule("us/net-quantity-place").unwrap();
    assert_eq!((rule.seen(), rule.citation()), (Evidence::Law, "16 CFR 500.6(b)".to_owned()));
}

#[test]
fn placeholders_are_filled_or_told() {
    let value = |name: &str| (name == "trim").then(|| "3/16\u{a0}in (4\u{a0}mm)".to_owned());
    let text = law::wording(Lang::En, "trim wooden wick").unwrap().text;
    assert_eq!(law::fill(text, value).unwrap(), "Trim wooden wick to 3/16\u{a0}in (4\u{a0}mm) before lighting.");
    assert_eq!(law::fill("Stop at {stop}.", value), Err("stop"));
    assert_eq!(law::fill("{broken", value), Err("broken"));
    assert_eq!(law::fill("", value).unwrap(), "");
}

#[test]
fn a_rule_is_told_to_scripts_in_the_words_of_its_file() {
    let told = serde_json::to_value(law::rule("us/net-quantity-place").unwrap()).unwrap();
    assert_eq!(told["severity"], "required");
    assert_eq!(told["applies"], serde_json::json!([["panel", ["over 5 sq in"]]]));
    assert_eq!(told["lowest_percent"], 30);
    assert_eq!(told["sources"][0]["clause"], "500.6(b)");
    assert_eq!(told["sources"][0]["read"], "2026-11-25");
    let told = serde_json::to_value(law::rule("us/net-quantity-height").unwrap()).unwrap();
    assert_eq!(told["height"]["table"], serde_json::json!({"name": "us-panel-height", "measure": "net quantity"}));
}

#[test]
fn near_ids_are_offered_for_a_wrong_one() {
    assert_eq!(law::nearest_ids("us/care-trimm"), ["us/care-trim"]);
    assert_eq!(law::nearest_ids("bergamot"), ["us/bergamot"]);
    assert!(law::nearest_ids("").is_empty());
    assert!(law::nearest_ids(&"x".repeat(10_000)).is_empty());
}

/// What is known only second hand or from memory, as `docs/unverified.md` shows it.
fn unverified() -> (BTreeSet<String>, String) {
    let weak = |seen| matches!(seen, Evidence::Secondary | Evidence::Memory);
    let (mut ids, mut rows) = (BTreeSet::new(), String::new());
    for rule in law::rules().iter().filter(|r| weak(r.seen())) {
        rows += &format!("| `{}` | {} | {} | {} |\n", rule.id, rule.severity, rule.seen(), rule.citation());
        ids.insert(rule.id.to_owned());
    }
    rows += "\n## Words\n\n| Statement | Known from | Words |\n|---|---|---|\n";
    for word in law::builtin().wording.iter().filter(|w| weak(w.seen)) {
        rows += &format!("| `{}` ({}) | {} | {} |\n", word.key, word.lang, word.seen, word.text);
        ids.insert(format!("wording/{}: {}", word.lang, word.key));
    }
    rows += "\n## French words\n\nOur own wording, on the pattern of Canadian regulations and usual labels: nobody whose language it is has \
        read it yet.\nA no-break space is written `_`.\n\n| Statement | Words | In Canada |\n|---|---|---|\n";
    let own = |w: &&law::Wording| w.lang == Lang::Fr && !w.fixed && w.seen == Evidence::Policy;
    for word in law::builtin().wording.iter().filter(own) {
        let shown = |text: &str| text.replace('\u{a0}', "_");
        rows += &format!("| `{}` | {} | {} |\n", word.key, shown(word.text), shown(word.canada.unwrap_or("")));
    }
    rows += "\n## Tables\n\n| Table | Band | Known from | Place |\n|---|---|---|---|\n";
    for table in law::builtin().tables {
        for row in table.rows.iter().filter(|r| weak(r.seen)) {
            let end = |limit: Option<law::Limit>| limit.map_or_else(|| "…".to_owned(), |l| l.to_string());
            let place = format!("{} {}", law::source(row.source).unwrap().short, row.clause);
            rows +=
                &format!("| `{}` | {} to {} | {} | {place} |\n", table.name, end(row.over), end(row.up_to), row.seen);
            ids.insert(format!("tables/{}", table.name));
        }
    }
    rows += "\n## Other tables\n\nRows by how they are known; each names its source in the file.\n\n\
        | File | Rows | Secondary | Memory |\n|---|---|---|---|\n";
    for folder in ["fill", "hazard", "label", "markets", "recall"] {
        let mut files: Vec<_> = fs::read_dir(format!("rules/{folder}")).unwrap().map(|e| e.unwrap().path()).collect();
        files.sort();
        for path in files.iter().filter(|p| p.extension().is_some_and(|e| e == "csv")) {
            let text = fs::read_to_string(path).unwrap();
            let lines: Vec<_> = text.lines().filter(|l| !l.starts_with('#')).skip(1).collect();
            let count = |seen: &str| lines.iter().filter(|l| l.split(',').any(|cell| cell == seen)).count();
            let (secondary, memory) = (count("secondary"), count("memory"));
            if secondary + memory > 0 {
                rows += &format!("| `{}` | {} | {secondary} | {memory} |\n", path.display(), lines.len());
            }
        }
    }
    let head = "# What nobody has read in its own text yet\n\n\
        Written by `UPDATE=1 cargo test --test rules`; do not edit. A rule stands here when its best source is somebody's \
        words about\nit (secondary) or memory. Reading one, and saying so in its file, takes it off this list; \
        `rules/HOWTO.md` tells how.\n\n## Rules\n\n| Rule | Severity | Known from | Source |\n|---|---|---|---|\n";
    (ids, format!("{head}{rows}"))
}

#[test]
fn the_list_of_unverified_rules_is_up_to_date() {
    let (_, text) = unverified();
    if std::env::var_os("UPDATE").is_some() {
        fs::write("docs/unverified.md", &text).unwrap();
    }
    let committed = fs::read_to_string("docs/unverified.md").unwrap_or_default();
    assert!(committed == text, "docs/unverified.md is out of date: run `UPDATE=1 cargo test --test rules`");
}

/// The committed list may only shrink: what is verified leaves it, nothing new joins it unseen.
#[test]
fn nothing_unverified_joins_unseen() {
    let (ids, _) = unverified();
    let allowed = fs::read_to_string("tests/published/unverified-allowed.txt").unwrap();
    let allowed: BTreeSet<_> = allowed.lines().filter(|l| !l.starts_with('#')).map(str::to_owned).collect();
    let (new, done): (Vec<_>, Vec<_>) = (ids.difference(&allowed).collect(), allowed.difference(&ids).collect());
    assert!(new.is_empty(), "read the source of these, or add them to the list with a reason in the commit: {new:#?}");
    assert!(done.is_empty(), "these are verified now, take them off the list: {done:#?}");
}

/// Ids of findings are written in the code; a reader of a finding must be able to ask `explain` about each.
#[test]
fn every_id_of_a_finding_is_a_rule_or_names_a_file_or_paper() {
    fn sources(folder: &std::path::Path, out: &mut String) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                sources(&path, out);
            } else {
                *out += &std::fs::read_to_string(path).unwrap();
            }
        }
    }
    let mut code = String::new();
    sources(std::path::Path::new("src"), &mut code);
    let rule_like = |t: &&str| {
        ["us/", "ca/", "ca-qc/", "eu/", "ni/", "gb/", "fr/", "practice/", "policy/", "burn/", "recipe/"]
            .iter()
            .any(|p| t.starts_with(p) && t.len() > p.len())
    };
    let id = |t: &&str| t.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b"/-".contains(&b));
    let mut unknown: Vec<&str> =
        code.split('"').filter(rule_like).filter(id).filter(|t| law::rule(t).is_none()).collect();
    // Misspelt on purpose, in tests of "did you mean"; and the beginning of ids.
    unknown.retain(|t| !["us/identiy", "us/x", "eu/clp"].contains(t));
    assert_eq!(unknown, Vec::<&str>::new());
}
