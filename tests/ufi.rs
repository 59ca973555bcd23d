//! The unique formula identifier against published codes: made, read, and refused when one character is another.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

use waxbill::hazard::ufi::{FORMULATIONS, Ufi};

const ALPHABET: &str = "0123456789ACDEFGHJKMNPQRSTUVWXY";

/// Country, number, formulation, code; the source stands in the file.
fn published() -> Vec<(&'static str, &'static str, u32, &'static str)> {
    include_str!("published/ufi-vectors.csv")
        .lines()
        .filter(|l| !l.starts_with('#'))
        .skip(1)
        .map(|line| {
            let [country, number, formulation, code] = line.split(',').collect::<Vec<_>>().try_into().unwrap();
            (country, number, formulation.parse().unwrap(), code)
        })
        .collect()
}

fn made(country: &str, number: &str, formulation: u32) -> Ufi {
    let ufi = match country {
        "COMPANY_KEY" => Ufi::of_company_key(number, formulation),
        _ => Ufi::of_vat(country, number, formulation),
    };
    ufi.unwrap_or_else(|f| panic!("{country} {number}: {} ({})", f.message, f.cure))
}

#[test]
fn every_published_code_is_made_and_read() {
    let rows = published();
    assert_eq!(rows.len(), 40);
    for (country, number, formulation, code) in rows {
        let ufi = made(country, number, formulation);
        assert_eq!(ufi.to_string(), code, "{country} {number}");
        let read = Ufi::decode(code).unwrap();
        assert_eq!(read, ufi, "{code}");
        assert_eq!(read.formulation(), formulation);
        let told = match country {
            "COMPANY_KEY" => None,
            "XN" => Some("GB"),
            "GR" => Some("EL"),
            other => Some(other),
        };
        assert_eq!(read.country(), told);
        assert_eq!(read.company(), number, "{code}");
    }
}

#[test]
fn every_single_wrong_character_of_every_published_code_is_refused() {
    for (.., code) in published() {
        for (at, right) in code.char_indices().filter(|(_, c)| *c != '-') {
            for wrong in ALPHABET.chars().filter(|c| *c != right) {
                let mut flipped = code.to_owned();
                flipped.replace_range(at..=at, &wrong.to_string());
                let refused = Ufi::decode(&flipped).unwrap_err();
                assert!(refused.message.contains("check character"), "{flipped}: {}", refused.message);
            }
        }
    }
}

#[test]
fn two_characters_that_changed_places_are_refused() {
    for (.., code) in published() {
        let plain: Vec<char> = code.chars().filter(|c| *c != '-').collect();
        for i in 0..16 {
            for j in (i + 1..16).filter(|j| plain[i] != plain[*j]) {
                let mut swapped = plain.clone();
                swapped.swap(i, j);
                assert!(Ufi::decode(&swapped.iter().collect::<String>()).is_err(), "{swapped:?}");
            }
        }
    }
}

#[test]
fn a_code_is_read_however_it_is_typed() {
    let right = Ufi::decode("GMTT-2SQN-6FDD-6TV1").unwrap();
    for typed in
        ["UFI: GMTT-2SQN-6FDD-6TV1", "ufi:gmtt2sqn6fdd6tv1", " GMTT 2SQN 6FDD 6TV1 ", "UFI GMTT-2SQN-6FDD-6TV1"]
    {
        assert_eq!(Ufi::decode(typed).unwrap(), right, "{typed}");
    }
    assert_eq!(Ufi::of_vat("ie", "IE 9Z54321Y", 134_217_728).unwrap(), right);
    assert!(Ufi::decode("GMTT-2SQN-6FDD-6TV").unwrap_err().message.contains("not 15"));
    assert!(Ufi::decode("GMTT-2SQN-6FDD-6TVI").unwrap_err().message.contains("`I`"));
    assert!(Ufi::decode("").is_err() && Ufi::decode("UFI").is_err() && Ufi::decode("🕯🕯").is_err());
}

#[test]
fn numbers_that_are_not_written_as_in_their_country_are_refused() {
    for (country, number) in [
        ("IE", "9Z5432Y"),
        ("FR", "0101234567"),
        ("NL", "999999999C77"),
        ("AT", "12345678"),
        ("DE", "12345678A"),
        ("LI", "999999"),
        ("ES", "X123456X9"),
        ("CY", "123456789"),
        ("GB", "12345678"),
        ("IT", ""),
        ("PL", "٤٨٣٥٩٧٨٧٠١"),
    ] {
        assert_eq!(Ufi::of_vat(country, number, 1).unwrap_err().id, "ufi/number", "{country} {number}");
    }
    for country in ["US", "CH", "", "ÖÖ"] {
        assert_eq!(Ufi::of_vat(country, "1", 1).unwrap_err().id, "ufi/country");
    }
    // 41 bits hold no key of 2 199 023 255 552 and more.
    assert!(Ufi::of_company_key("2199023255551", 1).is_ok());
    assert!(Ufi::of_company_key("2199023255552", 1).is_err());
    assert!(Ufi::of_company_key("182863933866", 1).is_err());
    assert!(Ufi::of_vat("DE", "123456789", FORMULATIONS - 1).is_ok());
    assert_eq!(Ufi::of_vat("DE", "123456789", FORMULATIONS).unwrap_err().id, "ufi/formulation");
}

#[test]
fn contents_no_company_number_leads_to_are_refused() {
    // Each has a right check character: 31 in 31 ways to write the rest, of which most name no company.
    let (mut read, mut refused) = (0, 0);
    let mut seed: u64 = 1;
    for _ in 0..20_000 {
        let mut digits = [0_u64; 16];
        for digit in digits.iter_mut().skip(1) {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            *digit = (seed >> 33) % 31;
        }
        digits[0] = (31 - (1..).zip(digits).map(|(i, d)| i * d).sum::<u64>() % 31) % 31;
        let code: String = digits.iter().map(|d| ALPHABET.chars().nth(usize::try_from(*d).unwrap()).unwrap()).collect();
        match Ufi::decode(&code) {
            Ok(ufi) => {
                read += 1;
                assert_eq!(ufi.to_string().replace('-', ""), code);
                let again = match ufi.country() {
                    Some(country) => Ufi::of_vat(country, &ufi.company(), ufi.formulation()),
                    None => Ufi::of_company_key(&ufi.company(), ufi.formulation()),
                };
                assert_eq!(again.unwrap(), ufi);
            }
            Err(finding) => {
                refused += 1;
                assert!(finding.message.contains("holds no company number"), "{}", finding.message);
            }
        }
    }
    assert!(read > 1000 && refused > 10_000, "{read} read, {refused} refused");
}

fn waxbill(arguments: &[&str]) -> (Option<i32>, String) {
    let out = std::process::Command::new(env!("CARGO_BIN_EXE_waxbill")).args(arguments).output().unwrap();
    (out.status.code(), String::from_utf8_lossy(&out.stdout).into_owned() + &String::from_utf8_lossy(&out.stderr))
}

#[test]
fn the_command_makes_and_checks_codes() {
    let make = ["ufi", "--country", "IE", "--vat", "9Z54321Y", "--formulation", "134217728"];
    assert_eq!(waxbill(&make), (Some(0), "UFI: GMTT-2SQN-6FDD-6TV1\n".to_owned()));
    let (code, told) = waxbill(&["ufi", "GMTT-2SQN-6FDD-6TV1"]);
    assert_eq!(code, Some(0));
    assert!(told.contains("VAT number IE 9Z54321Y") && told.contains("formulation 134217728"), "{told}");
    let (code, told) = waxbill(&["ufi", "GMTT-2SQN-6FDD-6TV2"]);
    assert!(code == Some(2) && told.contains("check character"), "{told}");
    let (code, told) = waxbill(&["ufi", "--json", "NJC1-671A-UKF3-J0M8"]);
    let json: serde_json::Value = serde_json::from_str(&told).unwrap();
    assert_eq!(
        (code, &json["company_key"], &json["country"]),
        (Some(0), &"1828639338661".into(), &serde_json::Value::Null)
    );
    assert!(waxbill(&["ufi", "--help"]).1.contains("never for Great Britain"));
    for bad in
        [&["ufi"][..], &["ufi", "--country", "IE"], &["ufi", "--formulation", "1"], &["ufi", "X", "--formulation", "1"]]
    {
        assert_eq!(waxbill(bad).0, Some(2), "{bad:?}");
    }
}
