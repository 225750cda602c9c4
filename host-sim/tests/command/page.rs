//! The report read back as a tree, by a reader of XML that had no part in writing it.

/// A page, its script left out.
pub struct Page {
    xml: String,
}

impl Page {
    /// The page is written so that it is well-formed XML too, but for its first line, the elements
    /// that HTML leaves open, and the script.
    pub fn new(html: &str) -> Self {
        let html = html.strip_prefix("<!DOCTYPE html>").expect("a doctype");
        let (before, rest) = html.split_once("<script>").expect("a script");
        let (_, after) = rest.split_once("</script>").expect("its end");
        let close = |part: &str| match part.starts_with("<meta ") {
            true => part.replace('>', "/>"),
            false => part.to_owned(),
        };
        let xml = [before, after].concat();
        Self {
            xml: xml.split_inclusive('>').map(close).collect(),
        }
    }

    pub fn tree(&self) -> roxmltree::Document<'_> {
        roxmltree::Document::parse(&self.xml).expect("well formed")
    }

    /// The cells of each row of the table in the region of this name, head and foot with them.
    pub fn table(&self, name: &str) -> Vec<Vec<String>> {
        let tree = self.tree();
        let region = tree
            .descendants()
            .find(|node| node.attribute("aria-label") == Some(name));
        let region = region.unwrap_or_else(|| panic!("no {name}"));
        let rows = region.descendants().filter(|node| node.has_tag_name("tr"));
        rows.map(|row| row.children().map(|cell| text(&cell)).collect())
            .collect()
    }

    /// All text, as a reader sees it.
    pub fn text(&self) -> String {
        text(&self.tree().root_element())
    }
}

/// The text within a node; that of its parts apart.
pub fn text(node: &roxmltree::Node) -> String {
    let parts = node.descendants().filter(|node| node.is_text());
    let parts: Vec<&str> = parts.filter_map(|node| node.text()).collect();
    parts.join("|")
}
