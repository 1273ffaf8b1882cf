package bundle_test

import (
	"fmt"
	"strings"

	"counterfoil/parse/bundle"
)

// Reading the page of a single-file capture and a photo that it shows.
func Example() {
	capture := strings.Join([]string{
		"From: <Saved by a browser>", "Date: Mon, 03 Feb 2025 10:11:12 +0100",
		"Content-Type: multipart/related; boundary=b", "",
		"--b", "Content-Type: text/html", "Content-Location: https://shop.example/item/17", "", `<img src="/p/1.jpg">`,
		"--b", "Content-Type: image/jpeg", "Content-Location: https://shop.example/p/1.jpg", "", "(photo)",
		"--b--",
	}, "\r\n")
	a, problems := bundle.Open(strings.NewReader(capture), int64(len(capture)), "offer.mhtml", bundle.Limits{})
	if a == nil {
		fmt.Println(problems)
		return
	}
	for _, e := range a.Entries() {
		if e.Role == bundle.RolePage {
			page, _ := a.Read(e.Name)
			photo, _ := a.Resolve(e.Name, "/p/1.jpg")
			fmt.Println(page.URL, page.Date, string(page.Data))
			fmt.Println(photo.Name, photo.ContentType)
		}
	}
	// Output:
	// https://shop.example/item/17 2025-02-03T10:11:12+01:00 <img src="/p/1.jpg">
	// https://shop.example/p/1.jpg image/jpeg
}
