//! A language that a label lacks as a whole: said once, before what is missing in it one by one. Part of `review`.

use super::Desk;
use super::statement::Stand;
use super::task::{Kind, Task};
use crate::find::{Evidence, Finding, Level, Severity};
use crate::trade::Lang;

/// Fewer statements than this tell nothing of a language.
const FEW: usize = 4;

/// Languages of which hardly a statement was found, where another has most of its own.
pub fn lacking(desk: &Desk<'_>, tasks: &[Task<'_>], stands: &[Option<Stand>]) -> Vec<Finding> {
    // How many statements of words a language asks for, and how many were found.
    // A name or an address that is the same in all of them is in none of them.
    let own = |t: &Task<'_>| t.kind == Kind::Words && t.requirement.texts.values().any(|other| *other != t.texts[0]);
    let count = |lang: Lang| {
        let of = || tasks.iter().zip(stands).filter(|(t, _)| t.lang == lang && own(t));
        (of().count(), of().filter(|(_, stand)| stand.is_some()).count())
    };
    let languages = &desk.needs.languages;
    let there = languages.iter().map(|l| count(*l)).any(|(all, found)| all >= FEW && found * 2 > all);
    if !there || super::unread::any(desk) {
        return Vec::new();
    }
    let scarce = |lang: &&Lang| {
        let (all, found) = count(**lang);
        all >= FEW && found * 8 <= all
    };
    let told = |lang: &Lang| {
        let (all, found) = count(*lang);
        let name = english(*lang);
        let message = format!("there is hardly any {name} on the label: {found} of {all} statements were found in it");
        let cure = format!(
            "add the {name} words of `waxbill needs`; those told below as missing in `{lang}` are all part of this"
        );
        let (level, severity) = (Level::Error, Severity::Policy);
        Finding::of("label/language", level, severity, Some(Evidence::Policy), message, cure)
    };
    languages.iter().filter(scarce).map(told).collect()
}

/// The name of a language in English.
const fn english(lang: Lang) -> &'static str {
    match lang {
        Lang::En => "English",
        Lang::Fr => "French",
        Lang::Bg => "Bulgarian",
        Lang::Cs => "Czech",
        Lang::Da => "Danish",
        Lang::De => "German",
        Lang::El => "Greek",
        Lang::Es => "Spanish",
        Lang::Et => "Estonian",
        Lang::Fi => "Finnish",
        Lang::Ga => "Irish",
        Lang::Hr => "Croatian",
        Lang::Hu => "Hungarian",
        Lang::It => "Italian",
        Lang::Lt => "Lithuanian",
        Lang::Lv => "Latvian",
        Lang::Mt => "Maltese",
        Lang::Nl => "Dutch",
        Lang::Pl => "Polish",
        Lang::Pt => "Portuguese",
        Lang::Ro => "Romanian",
        Lang::Sk => "Slovak",
        Lang::Sl => "Slovenian",
        Lang::Sv => "Swedish",
    }
}
