//! The description of the file as an XMP packet (ISO 16684-1).
//!
//! In `pdf`, used by `finish`. No dates and no random identifiers: the same label is the same file.

use super::{About, finish::PRODUCER};
use std::borrow::Cow;

/// The packet, as it stands in the metadata stream.
pub fn packet(about: &About) -> String {
    let (title, subject, language) = (text(about.title), text(about.subject), text(about.language));
    let subject = if subject.is_empty() {
        String::new()
    } else {
        format!("<dc:description><rdf:Alt><rdf:li xml:lang=\"x-default\">{subject}</rdf:li></rdf:Alt></dc:description>")
    };
    // The word after `id=` is fixed by the standard.
    format!(
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n\
         <x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n\
         <rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" \
         xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\">\n\
         <dc:format>application/pdf</dc:format>\n\
         <dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">{title}</rdf:li></rdf:Alt></dc:title>\n\
         {subject}<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>\n\
         <pdf:Producer>{PRODUCER}</pdf:Producer>\n\
         </rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>"
    )
}

/// Character data of XML 1.0: markup escaped, characters XML cannot hold left out.
fn text(words: &str) -> String {
    words
        .chars()
        .filter(|&c| !c.is_control() && !matches!(c, '\u{fffe}' | '\u{ffff}'))
        .map(|c| match c {
            '&' => Cow::Borrowed("&amp;"),
            '<' => Cow::Borrowed("&lt;"),
            '>' => Cow::Borrowed("&gt;"),
            other => Cow::Owned(other.to_string()),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{About, packet};

    // XML 1.0 (W3C), 2.4: `&` and `<` must be escaped, `>` may be; 2.2: control characters are no characters.
    #[test]
    fn markup_in_a_title_stays_words() {
        let about = About { title: "Salt & <Lamp>\u{1}", language: "en", subject: "" };
        let packet = packet(&about);
        assert!(packet.contains(">Salt &amp; &lt;Lamp&gt;</rdf:li>"), "{packet}");
        assert!(!packet.contains("dc:description"));
    }
}
