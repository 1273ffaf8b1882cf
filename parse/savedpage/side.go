package savedpage

import (
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"counterfoil/parse/internal/phrase"
)

// sideWords are headings of parts with other items. Common practice, no source.
var sideWords = phrase.NewSet(
	phrase.Of(true, "en", `similar items, similar products, similar listings, related items, related products, related searches, customers also, you may also like, you might also like, also viewed,
		also bought, people also, sponsored, recommended for you, recommendations, recently viewed, frequently bought together, more from this seller, other items, other offers,
		goes well with, complete the look, best sellers, popular products, more like this, inspired by, accessories, alternatives, explore related, seen it`),
	phrase.Of(true, "de", `ähnliche artikel, ähnliche produkte, ähnliche anzeigen, ähnliche angebote, kunden kauften auch, kunden interessierten sich auch, das könnte, zuletzt angesehen, gesponsert,
		passende produkte, passendes zubehör, zubehör, empfehlungen, wird oft zusammen gekauft, andere kunden, weitere artikel, unsere empfehlungen, weitere anzeigen, alternativen`),
	phrase.Of(true, "fr", `articles similaires, produits similaires, annonces similaires, vous aimerez aussi, vous aimeriez aussi, les clients ont aussi, récemment consultés, sponsorisé, produits associés,
		souvent achetés ensemble, recommandé pour vous, nos recommandations, accessoires, complétez votre look`),
	phrase.Of(true, "es", `artículos similares, productos similares, anuncios similares, también te puede, te puede interesar, los clientes también, vistos recientemente, patrocinado, productos relacionados,
		comprados juntos, recomendaciones, recomendados, accesorios, quienes vieron`),
	phrase.Of(true, "it", `articoli simili, prodotti simili, annunci simili, potrebbe interessarti, potrebbero interessarti, altri clienti, visti di recente, sponsorizzato, prodotti correlati, spesso comprati insieme, accessori, ti potrebbe piacere`),
	phrase.Of(true, "pl", `podobne produkty, podobne oferty, podobne ogłoszenia, klienci kupili także, może cię zainteresować, ostatnio oglądane, sponsorowane, polecane, produkty powiązane, inni klienci, akcesoria, zobacz także, zobacz również`),
	phrase.Of(true, "ru", `похожие товары, похожие объявления, похожие предложения, с этим товаром покупают, вам может понравиться, вы недавно смотрели, вы смотрели, рекомендуем, рекомендуемые, аксессуары, сопутствующие товары, реклама, смотрите также`),
	phrase.Of(true, "zh", `相似商品, 猜你喜欢, 看了又看, 相关商品, 同类商品, 推荐商品, 为你推荐, 最近浏览, 您可能还喜欢, 類似商品, 相關商品, 推薦商品`),
	phrase.Of(true, "", `produtos relacionados, também pode gostar, produtos semelhantes, quem viu, podobné produkty, súvisiace produkty, související produkty, mohlo by sa vám páčiť, naposledy zobrazené,
		sorodni izdelki, podobni izdelki, līdzīgas preces, līdzīgi produkti, produse similare, ar putea să îți placă, vergelijkbare producten, liknande produkter, lignende produkter`),
)

// sideHeadings marks the parts of the page whose heading says that they show
// other items.
func (r *reader) sideHeadings() {
	p := r.p
	changed := false
	for _, i := range p.headings {
		x := &p.nodes[i]
		if i == p.title || x.end-i > 12 || x.ctx&(side|noText) != 0 {
			continue
		}
		text := p.text(i, 81)
		if text == "" || len(text) > 80 {
			continue
		}
		if m, ok := sideWords.Find(phrase.Fold(text), 0); !ok || m.Start > 30 {
			continue
		}
		if part := r.part(i); part >= 0 {
			p.nodes[part].own |= side
			changed = true
		}
	}
	if changed {
		p.inherit()
	}
}

// part gives the largest element around a heading, up to four levels, that
// begins with the heading and does not reach into the item's own part.
func (r *reader) part(i int32) int32 {
	p := r.p
	out := int32(-1)
	for j, up := p.nodes[i].parent, 0; j > 0 && up < 4; j, up = p.nodes[j].parent, up+1 {
		if isBody(p.nodes[j].n) || p.nodes[j].n.DataAtom == atom.Main || p.title >= 0 && p.contains(j, p.title) || p.hasText(j, i) {
			break
		}
		out = j
		if p.nodes[j].end-j > 60 {
			break
		}
	}
	return out
}

// hasText reports whether a reader sees text between two nodes.
func (p *page) hasText(from, to int32) bool {
	for j := from; j < to && p.work < maxWork; j++ {
		p.work++
		x := &p.nodes[j]
		if x.own&(noText|hidden) != 0 && x.end <= to {
			j = x.end - 1
		} else if x.n.Type == html.TextNode && strings.TrimSpace(x.n.Data) != "" {
			return true
		}
	}
	return false
}
