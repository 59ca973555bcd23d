//! Faults of figures, of claims, of the lot code and the code for telephones.

use super::Sower;

pub fn of_figures(sower: &mut Sower<'_>) {
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
    if sower.good.statements.iter().any(|s| s.key == "burn at most") {
        let told = &["practice/burn-claim-evidence"];
        for words in ["80+ hours", "Burn time: 80+ hours.", "Burns for more than 80 hours."] {
            sower.added("burn time contradicted", Some(18), words, told);
        }
    }
    sower.added("degrees do not agree", None, "Store below 95 °F (25 °C).", &["label/pair"]);
    sower.added("degrees do not agree", None, "Store at 60-80 degrees F (15-40 degrees C).", &["label/pair"]);
    sower.added("lengths do not agree", Some(5), "Keep 10 cm (3 in) from the wall.", &["label/pair"]);
}

pub fn of_claims(sower: &mut Sower<'_>) {
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

pub fn of_codes(sower: &mut Sower<'_>) {
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
        // A label may go without.
        sower.noted();
    }
}
