package savedpage

import (
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"counterfoil/parse/internal/phrase"
)

// noneWords tell why a page holds no listing. Common practice, no source.
var noneWords = phrase.NewSet(
	phrase.Of(KindBlocked, "", `access denied, are you a robot, are you human, verify you are human, unusual traffic, captcha, attention required,
		checking your browser, just a moment, request blocked, pardon our interruption, security check, forbidden, too many requests, enable cookies,
		zugriff verweigert, accès refusé, acceso denegado, accesso negato, dostęp zabroniony, доступ запрещен, доступ ограничен, 访问被拒绝, 验证码, 安全验证`),
	phrase.Of(KindLogin, "", `sign in, log in, login, einloggen, anmelden, se connecter, connexion, iniciar sesión, accedi, zaloguj się, logowanie, войти, вход, 登录, 登錄`),
	phrase.Of(KindEmpty, "", `no results, 0 results, no matches found, nothing found, no items found, no exact matches, keine ergebnisse, keine treffer, keine artikel gefunden,
		aucun résultat, sin resultados, no se han encontrado, nessun risultato, brak wyników, ничего не найдено, нет результатов, 没有找到, 无结果, 暂无搜索结果`),
)

// whyNone tells why a page holds no listing, from its heading and title, the
// form it shows and its type.
func (r *reader) whyNone() string {
	p := r.p
	head := strings.Join([]string{r.heading, r.facts.title, r.facts.ogTitle}, " | ")
	if m, ok := noneWords.Find(phrase.Fold(head), 0); ok {
		return m.Value
	}
	password := false
	visible, told := 0, 0 // bytes of text, of those within an article
	end := int32(0)       // of the article
	for i := range p.nodes {
		x := &p.nodes[i]
		switch {
		case x.n.Type == html.TextNode && x.ctx&(noText|hidden) == 0:
			n := len(strings.TrimSpace(x.n.Data))
			visible += n
			if int32(i) < end {
				told += n
			}
		case x.n.DataAtom == atom.Article:
			end = max(end, x.end)
		case x.n.DataAtom == atom.Input && attr(x.n, "type") == "password" && x.ctx&(chrome|popup) == 0:
			password = true
		}
	}
	body := phrase.Fold(p.text(0, 3000))
	if m, ok := noneWords.Find(body, 0); ok && (m.Value == KindEmpty || m.Value == KindBlocked && visible < 2000) {
		return m.Value
	}
	switch {
	case password:
		return KindLogin
	case r.facts.ogType == "article" || visible > 3000 || told > 500 && 2*told > visible:
		return KindArticle
	}
	return KindNone
}
