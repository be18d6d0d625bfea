package fonts

import "testing"

func TestMissing(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"Oficina Açúcar, Gdańsk, Þórr, Łódź, São € ½ ² – “ ” …": "",
		"Αθήνα Київ Тбилиси":                                    "",
		"two\nlines\tand tab":                                   "",
		"山田 山":                                                  "山田",
		"김 한":                                                   "김한",
		"ไฟ":                                                    "ไฟ",
		"दीपक":                                                  "दीपक",
		"שלום":                                                  "שלום",
		"نور":                                                   "نور", // in the fonts, but written from right to left
		"lamp \U0001F4A1":                                       "\U0001F4A1",
		"\uFFFE":                                                "\uFFFE",
	} {
		if got := string(Missing(text)); got != want {
			t.Errorf("%q: missing %q, want %q", text, got, want)
		}
	}
}
