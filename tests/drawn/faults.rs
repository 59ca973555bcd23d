//! The faults that are seeded: each changes a good label in one place and names the findings that would tell it.

use super::{Label, Seeded, Statement};
use waxbill::trade::{Kind, Lang, Market};

struct Sower<'a> {
    good: &'a Label,
    out: Vec<Seeded>,
}

impl Sower<'_> {
    fn sow(
        &mut self,
        fault: &'static str,
        slip: Option<u8>,
        what: impl Into<String>,
        told_by: &[&str],
        change: impl FnOnce(&mut Label),
    ) {
        let mut label = self.good.clone();
        change(&mut label);
        let told_by = told_by.iter().map(|t| (*t).to_owned()).collect();
        self.out.push(Seeded { fault, slip, what: what.into(), told_by, label });
    }

    /// A fault of one statement, told under its own rule or one of `others`.
    fn one(
        &mut self,
        fault: &'static str,
        slip: Option<u8>,
        n: usize,
        others: &[&str],
        change: impl FnOnce(&mut Statement),
    ) {
        let s = &self.good.statements[n];
        let id = s.id.clone();
        let mut told_by = vec![id.as_str()];
        told_by.extend(others);
        let what = format!("{} ({})", s.id, s.lang);
        self.sow(fault, slip, what, &told_by, |l| change(&mut l.statements[n]));
    }

    /// A further sentence on the back.
    fn added(&mut self, fault: &'static str, slip: Option<u8>, text: &str, told_by: &[&str]) {
        self.sow(fault, slip, text, told_by, |l| {
            let mut s = l.statements.iter().rfind(|s| !s.front).unwrap().clone();
            s.text = text.to_owned();
            s.id = "added".to_owned();
            s.alert = false;
            l.statements.push(s);
        });
    }
}

/// Two letters in the middle of the longest word change places; `None` for short words.
fn misspelt(text: &str) -> Option<String> {
    let plain = |w: &&str| w.chars().all(char::is_alphabetic);
    let word = text
        .split([' ', '\u{a0}'])
        .map(|w| w.trim_matches(['.', ',', ';', ':']))
        .filter(plain)
        .max_by_key(|w| w.chars().count())?;
    let letters: Vec<char> = word.chars().collect();
    let at = (1..letters.len().checked_sub(1)?).find(|&n| letters[n] != letters[n + 1])?;
    if letters.len() < 5 {
        return None;
    }
    let mut swapped = letters.clone();
    swapped.swap(at, at + 1);
    Some(text.replacen(word, &swapped.into_iter().collect::<String>(), 1))
}

/// The last figure of the last number becomes another one.
fn other_figure(text: &str) -> Option<String> {
    let at = text.rfind(|c: char| c.is_ascii_digit())?;
    let digit = text.as_bytes()[at] - b'0';
    let mut out = text.to_owned();
    out.replace_range(at..=at, &((digit + 3) % 10).to_string());
    Some(out)
}

/// The middle word goes; `None` where there are fewer than three.
fn without_a_word(text: &str) -> Option<String> {
    let words: Vec<&str> = text.split(' ').collect();
    let middle = words.len() / 2;
    let out: Vec<&str> = words.iter().enumerate().filter(|(n, _)| *n != middle).map(|(_, w)| *w).collect();
    (words.len() >= 3 && words[middle] != "NET\u{a0}WT" && words[middle].chars().any(char::is_alphanumeric))
        .then(|| out.join(" "))
}

/// Ids that tell a wrong figure.
const FIGURES: &[&str] = &[
    "label/pair",
    "practice/figures-as-tested",
    "us/net-quantity",
    "us/net-",
    "eu/net-",
    "practice/burn",
    "policy/lot-code-check",
    "practice/first-burn",
];

/// Every fault for one good label.
pub fn all(good: &Label, kind: Kind) -> Vec<Seeded> {
    let mut sower = Sower { good, out: Vec::new() };
    of_statements(&mut sower);
    of_quantity(&mut sower);
    of_figures(&mut sower);
    of_claims(&mut sower);
    of_codes(&mut sower);
    of_hazard(&mut sower);
    of_kind(&mut sower, kind);
    of_languages(&mut sower);
    sower.out
}

fn of_statements(sower: &mut Sower<'_>) {
    for n in 0..sower.good.statements.len() {
        let s = sower.good.statements[n].clone();
        let id = s.id.clone();
        let net = s.foot;
        let slip = match s.key.as_str() {
            "lot" | "batch" => Some(11),
            "ufi" | "phone" => Some(30),
            "postal address" | "maker address" | "maker name" | "electronic address" | "responsible person" => Some(12),
            "supplemental statements" => Some(9),
            "hazard names" => Some(8),
            _ => None,
        };
        sower.sow("statement removed", slip, format!("{id} ({})", s.lang), &[&id], |l| {
            l.statements.remove(n);
        });
        if let Some(text) = without_a_word(&s.text) {
            sower.one("word removed", None, n, FIGURES, |s| s.text = text);
        }
        if let Some(text) = misspelt(&s.text) {
            sower.one("word misspelt", None, n, &[], |s| s.text = text);
        }
        if let Some(text) = other_figure(&s.text) {
            sower.one("figure changed", None, n, FIGURES, |s| s.text = text);
        }
        if s.text.split(' ').count() >= 4 && !net {
            let words: Vec<String> = s.text.split(' ').map(str::to_owned).collect();
            let (first, second) = words.split_at(words.len() / 2);
            let rule = id.split('#').next().unwrap_or(&id).to_owned();
            sower.sow("sentence split over two parts", None, format!("{id} ({})", s.lang), &[&id, &rule], |l| {
                let mut rest = l.statements[n].clone();
                l.statements[n].text = first.join(" ");
                rest.text = second.join(" ");
                rest.front = !rest.front;
                rest.alert = false;
                l.statements.push(rest);
            });
        }
        let by_height = if s.measured { vec![] } else { vec!["policy/text-height"] };
        sower.one("type too small", Some(14), n, &by_height, |s| {
            // Without lower-case letters the capitals are measured, which are larger.
            s.em *= if s.text.chars().any(char::is_lowercase) { 0.7 } else { 0.5 };
        });
        sower.one("white letters", Some(14), n, &[], |s| s.rgb = [1.0; 3]);
        sower.one("pale letters", Some(14), n, &[], |s| s.rgb = [0.75; 3]);
        sower.one("letters not painted", Some(14), n, &[], |s| s.unpainted = true);
        sower.one("over the edge", None, n, &["label/over-the-edge"], |s| s.shift = [-24.0, 0.0]);
        sower.one("bar over the letters", None, n, &["label/"], |s| s.struck = true);
        sower.one("slanted words over a statement", None, n, &["label/"], |s| s.crossed = true);
        if s.bold {
            sower.one("regular instead of bold", Some(14), n, &[], |s| s.bold = false);
        }
        if s.foot {
            sower.one("squeezed letters", Some(14), n, &["label/squeezed"], |s| s.stretch = 35.0);
        }
    }
}

fn of_quantity(sower: &mut Sower<'_>) {
    let Some(n) = sower
        .good
        .statements
        .iter()
        .position(|s| s.foot && (s.text.contains("OZ") || s.text.ends_with(" g") || s.text.ends_with("\u{a0}g")))
    else {
        return;
    };
    let text = sower.good.statements[n].text.replace('\u{a0}', " ");
    let us = sower.good.market == Market::Us;
    let numbers: Vec<&str> =
        text.split([' ', '(', ')']).filter(|w| w.starts_with(|c: char| c.is_ascii_digit()) && !w.is_empty()).collect();
    let Some(last) = numbers.last().copied() else { return };
    let figure: f64 = last.parse().unwrap_or(1.0);
    let net = &["us/net-", "eu/net-", "gb/"][..];
    sower.one("more promised than is in it", Some(4), n, net, |s| {
        s.text = text.replace(last, &format!("{:.0}", figure * 28.35))
    });
    sower.one("less stated than is in it", Some(4), n, net, |s| {
        s.text = text.replace(last, &format!("{:.1}", figure * 0.8))
    });
    let range = text.replacen(last, &format!("{:.0}-{last}", figure * 0.9), 1);
    sower.one("range for a quantity", None, n, net, |s| s.text = range);
    for words in ["approx. {}", "~ {}", "{} when filled", "min. {}", "{} ± 5 %"] {
        sower.one("qualified quantity", None, n, net, |s| s.text = words.replace("{}", &text));
    }
    sower.one("quantity when poured", None, n, net, |s| s.text = format!("{text} when poured"));
    if us {
        sower.one("both units do not agree", Some(6), n, net, |s| {
            s.text = text.replace(last, &format!("{:.0}", figure * 1.03 + 3.0))
        });
        let (first, _) = text.split_once(" (").unwrap();
        sower.one("one system only", Some(6), n, net, |s| s.text = first.to_owned());
        sower.one("fluid ounces", Some(3), n, &["us/net-", "practice/fluid-ounce"], |s| {
            s.text = text.replace(" OZ", " FL OZ")
        });
        sower.one("quantity a quarter turned", None, n, net, |s| (s.turned, s.shift) = (true, [40.0, 0.0]));
        sower.one("quantity not at the foot", None, n, net, |s| s.shift = [0.0, -45.0]);
        sower.one("words crowd the quantity", None, n, net, |s| s.text = format!("{text} soy wax blend"));
    }
}

/// Two languages that stand unlike where the market wants them alike, or one before the other.
fn of_languages(sower: &mut Sower<'_>) {
    let (lead, next) = match sower.good.market {
        Market::CaQc => (Lang::Fr, Lang::En),
        Market::Ca => (Lang::En, Lang::Fr),
        _ => return,
    };
    let told = &["ca-qc/french", "ca/equal-languages"][..];
    let twins = |label: &Label, n: usize| {
        let s = &label.statements[n];
        s.lang == next && label.statements.iter().any(|o| o.id == s.id && o.lang == lead)
    };
    for n in (0..sower.good.statements.len()).filter(|&n| twins(sower.good, n)) {
        let what = sower.good.statements[n].id.clone();
        sower.sow("one language larger", Some(13), what.clone(), told, |l| l.statements[n].em *= 1.15);
        if !sower.good.statements[n].bold {
            sower.sow("one language bold", Some(13), what.clone(), told, |l| l.statements[n].bold = true);
        }
        if lead == Lang::Fr && !sower.good.statements[n].front {
            sower.sow("the other language first", Some(13), what, told, |l| {
                let s = l.statements.remove(n);
                let at = l.statements.iter().position(|o| o.id == s.id).unwrap();
                l.statements.insert(at, s);
            });
        }
    }
}

fn of_figures(sower: &mut Sower<'_>) {
    let tested = &["practice/figures-as-tested", "label/pair"][..];
    for n in 0..sower.good.statements.len() {
        let s = sower.good.statements[n].clone();
        let text = s.text.replace('\u{a0}', " ");
        if s.key.starts_with("trim") {
            if text.contains(" in (") {
                let open = text.find('(').unwrap();
                let close = text.find(')').unwrap();
                let wrong = format!("{}(2.5 cm){}", &text[..open], &text[close + 1..]);
                sower.one("inch and millimetre do not agree", Some(5), n, tested, |s| s.text = wrong);
            }
            let other = if text.contains(" in (") {
                "Trim wick to 1/2 in (13 mm) before each use."
            } else {
                "Trim wick to 1 cm before each use."
            };
            sower.one("trim is not the tested one", Some(26), n, tested, |s| s.text = other.to_owned());
        }
        if s.key == "burn at most" {
            let wrong = text.replace(['4', '3'], "8");
            sower.one("session is not the tested one", None, n, tested, |s| s.text = wrong);
            sower.added(
                "first burn longer than a session",
                Some(25),
                "First burn: about 12 hours.",
                &["practice/first-burn-session", "practice/figures-as-tested"],
            );
        }
        if s.key.starts_with("keep candles apart") {
            sower.sow("figure beside a sign is another", Some(26), s.id.clone(), &["label/figure"], |l| {
                let mut sign = l.statements[n].clone();
                sign.text = "4 cm".to_owned();
                l.statements.push(sign);
            });
        }
    }
    if sower.good.statements.iter().any(|s| s.key == "burn at most") {
        sower.added("burn time not backed", Some(18), "Burn time: up to 90 hours.", &["practice/burn-claim-evidence"]);
    }
    sower.added("degrees do not agree", None, "Store below 95 °F (25 °C).", &["label/pair"]);
    sower.added("degrees do not agree", None, "Store at 60-80 degrees F (15-40 degrees C).", &["label/pair"]);
    sower.added("lengths do not agree", Some(5), "Keep 10 cm (3 in) from the wall.", &["label/pair"]);
}

fn of_claims(sower: &mut Sower<'_>) {
    for words in [
        "Non-toxic.",
        "Clean burning soy wax.",
        "A soot-free candle.",
        "100 % natural.",
        "Hypoallergenic.",
        "Self-extinguishing wick.",
    ] {
        sower.added("claim without evidence", Some(27), words, &["label/claim"]);
    }
    for words in [
        "Keeps bugs away!",
        "With citronella, an insect repellent.",
        "No more mosquitoes.",
        "Bug-free evenings.",
        "Repels gnats.",
    ] {
        sower.added("insects", Some(28), words, &["label/insect-claim"]);
    }
}

fn of_codes(sower: &mut Sower<'_>) {
    for n in 0..sower.good.statements.len() {
        let s = sower.good.statements[n].clone();
        if matches!(s.key.as_str(), "lot" | "batch") {
            let check = s.text.replace("26329A4", "26329A5");
            sower.one("wrong check character", Some(11), n, &["policy/lot-code-check"], |s| s.text = check);
            let other = s.text.replace("26329A4", "26330AW");
            sower.one("another lot's code", Some(11), n, &["policy/lot-code-check"], |s| s.text = other);
        }
    }
    if sower.good.qr.is_some() {
        let told = &["policy/qr-code", "policy/lot-code-check"][..];
        sower.sow("QR code of something else", None, "payload", told, |l| {
            l.qr.as_mut().unwrap().payload = "Lot 26330AW, Reed Bed".to_owned()
        });
        sower.sow("QR code too fine", None, "module", &["policy/qr-module"], |l| l.qr.as_mut().unwrap().module = 0.3);
        sower.sow("QR code without its quiet zone", None, "quiet zone", &["policy/qr-code"], |l| {
            l.qr.as_mut().unwrap().crowded = true
        });
        sower.sow("QR code missing", None, "code", &["policy/qr-code"], |l| l.qr = None);
    }
}

fn of_hazard(sower: &mut Sower<'_>) {
    let hazard = sower.good.pictures.iter().position(|p| p.sign.ghs().is_some());
    let clp = matches!(sower.good.market, Market::Eu | Market::Ni | Market::Gb);
    if let Some(n) = hazard {
        let id = sower.good.pictures[n].id.clone();
        let told = &[id.as_str()][..];
        sower.sow("pictogram missing", Some(15), id.clone(), told, |l| {
            l.pictures.remove(n);
        });
        sower.sow("pictogram too small", Some(15), id.clone(), told, |l| l.pictures[n].side *= 0.7);
        sower.sow("pictogram in a black frame", Some(15), id.clone(), told, |l| l.pictures[n].rgb = [0.0; 3]);
        sower.sow("pictogram not on its point", Some(15), id.clone(), told, |l| l.pictures[n].turn = 12.0);
        sower.sow("pictogram without its symbol", Some(15), id.clone(), told, |l| l.pictures[n].empty = true);
        sower.sow("label too small for the package", Some(16), "48 mm wide", &["eu/clp-label-size"], |l| {
            l.back_width = 48.0
        });
    }
    for n in 0..sower.good.pictures.len() {
        if Some(n) == hazard {
            continue;
        }
        let id = sower.good.pictures[n].id.clone();
        sower.sow("sign missing", None, id.clone(), &["eu/"], |l| {
            l.pictures.remove(n);
        });
    }
    for n in 0..sower.good.statements.len() {
        let s = sower.good.statements[n].clone();
        if s.key == "hazard names" && s.text.contains(", ") {
            let told = &["eu/clp"][..];
            let (start, _) = s.text.split_once(", ").unwrap();
            sower.one("allergen missing", Some(8), n, told, |s| s.text = format!("{}.", start.trim_end_matches(',')));
            let text = s.text.replacen("linalool", "linalool oxide", 1);
            if text != s.text {
                sower.one("allergen named otherwise", Some(8), n, told, |s| s.text = text);
            }
            let more = s.text.replacen(", ", ", eugenol, ", 1);
            sower.one("allergen below its limit named", Some(9), n, told, |s| s.text = more);
        }
    }
    // CLP, Article 20(3): one signal word, whichever of the two is due.
    for (own, other) in [("Warning", "Danger"), ("Danger", "Warning")] {
        let here = sower.good.statements.iter().find(|s| s.key == "clp signal word" && s.text == own).cloned();
        if let Some(mut more) = here {
            sower.sow("two signal words", Some(7), other, &["eu/clp-signal-word"], |l| {
                (more.text, more.id) = (other.to_owned(), "added".to_owned());
                l.statements.push(more);
            });
        }
    }
    let has = |code: &str| sower.good.statements.iter().any(|s| s.text.contains(code));
    let eye = !has("Causes serious eye irritation");
    if clp {
        if !has("Harmful to aquatic life") {
            sower.added(
                "hazard statement too much",
                Some(7),
                "Harmful to aquatic life with long lasting effects.",
                &["eu/clp-hazard-statements"],
            );
        }
        if eye {
            sower.added(
                "hazard statement too much",
                Some(7),
                "Causes serious eye irritation.",
                &["eu/clp-hazard-statements"],
            );
        }
        if !has("May produce an allergic reaction") {
            sower.added(
                "EUH208 below the limit",
                Some(9),
                "Contains eugenol. May produce an allergic reaction.",
                &["eu/clp"],
            );
        }
    } else {
        sower.added(
            "words of another market",
            Some(17),
            "May cause an allergic skin reaction.",
            &["label/other-market"],
        );
        sower.added(
            "words of another market",
            Some(17),
            "EUH208 Contains linalool. May produce an allergic reaction.",
            &["label/other-market"],
        );
        sower.added("words of another market", Some(17), "UFI: X300-C0GY-4006-GJTU", &["label/other-market"]);
        sower.sow("pictogram of another market", Some(15), "GHS07", &["label/other-market"], |l| {
            l.pictures.push(super::Picture {
                id: "added".to_owned(),
                sign: waxbill::trade::Sign::Ghs07,
                side: 12.0,
                rgb: [0.85, 0.1, 0.1],
                turn: 0.0,
                empty: false,
            });
        });
    }
    let languages: Vec<Lang> = {
        let mut l: Vec<Lang> = sower.good.statements.iter().map(|s| s.lang).collect();
        l.sort();
        l.dedup();
        l
    };
    if languages.len() > 1 {
        for lang in languages {
            sower.sow("language missing", Some(13), lang.word(), &["eu/", "fr/", "ca/"], |l| {
                l.statements.retain(|s| s.lang != lang || s.front)
            });
        }
    }
}

fn of_kind(sower: &mut Sower<'_>, kind: Kind) {
    let us = sower.good.market == Market::Us;
    if us && !matches!(kind, Kind::ContainerCandle | Kind::TeaLight | Kind::Votive) {
        sower.added("container sentence elsewhere", Some(17), "Container gets hot.", &["us/"]);
    }
    if us && sower.good.statements.iter().any(|s| s.key == "trim wooden wick") {
        sower.added(
            "wooden wick trimmed as cotton",
            Some(17),
            "Trim wick to 1/4 in (6 mm) before lighting.",
            &["us/", "practice/"],
        );
    }
    if us && kind == Kind::WaxMelt {
        sower.added(
            "wick words on a melt",
            Some(17),
            "Trim wick to 1/4 in (6 mm) before lighting.",
            &["us/", "practice/"],
        );
        sower.sow("candle sign on a melt", Some(17), "sign", &["label/other-kind"], |l| {
            l.pictures.push(super::Picture {
                id: "added".to_owned(),
                sign: waxbill::trade::Sign::KeepInSight,
                side: 8.0,
                rgb: [0.0; 3],
                turn: 0.0,
                empty: false,
            });
        });
    }
    if us && kind != Kind::WaxMelt {
        sower.added("melt words on a candle", Some(17), "Use only in a warmer made for wax melts.", &["us/"]);
    }
}
