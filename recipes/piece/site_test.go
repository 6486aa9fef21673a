package piece

import "testing"

// Names of sites are read as they were written; gallery metal under a stone is no seat.
func TestSiteNames(t *testing.T) {
	stone := &Stone{Group: "stones.petals", N: 4}
	prong := Owner{Address: "prongs.inner", N: 3, Role: ProngRole}
	for _, c := range []struct {
		owner Owner
		site  Site
		of    *Stone
		name  string
		want  Named
	}{
		{prong, Plain, nil, "prongs.inner 3", Named{Address: "prongs.inner", Role: ProngRole}},
		{prong, Seat, stone, "prongs.inner 3, seat of stones.petals 4", Named{"prongs.inner", ProngRole, Seat, "stones.petals 4"}},
		{Owner{Address: "plate.sun"}, Girdle, stone, "plate.sun, girdle of stones.petals 4", Named{"plate.sun", PlateRole, Girdle, "stones.petals 4"}},
		{Owner{Address: "plate.sun"}, Ray, nil, "plate.sun, ray", Named{"plate.sun", PlateRole, Ray, ""}},
		{Owner{Address: "gallery.back", Role: GalleryRole}, Seat, stone, "gallery.back", Named{Address: "gallery.back", Role: GalleryRole}},
	} {
		name := c.owner.At(c.site, c.of)
		if got, ok := ParseSite(name); name != c.name || !ok || got != c.want {
			t.Errorf("%q was written and %+v, %v read, want %q and %+v", name, got, ok, c.name, c.want)
		}
	}
	for _, name := range []string{"", "sun", "plate.sun, rim", "ring.one", "plate sun"} {
		if got, ok := ParseSite(name); ok {
			t.Errorf("%q is read as %+v", name, got)
		}
	}
}
