package shapes_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"plyroom/shapes"
)

// 240 h of out-life, 12 h used and 6 h of thaw leave 222 h, 13320 min.
func TestOutLifeLeft(t *testing.T) {
	f := &shapes.Fabric{OutLife: 240 * 60}
	left, known := f.OutLifeLeft(&shapes.Roll{OutUsed: 12 * 60, Thaw: 6 * 60})
	assert.True(t, known)
	assert.Equal(t, 13320.0, left)
	left, _ = f.OutLifeLeft(&shapes.Roll{OutUsed: 241 * 60})
	assert.Equal(t, -60.0, left)
	_, known = (&shapes.Fabric{}).OutLifeLeft(&shapes.Roll{})
	assert.False(t, known)
}

func TestExpiredOn(t *testing.T) {
	r := &shapes.Roll{Expires: "2027-03-01"}
	assert.False(t, r.ExpiredOn("2027-02-28"))
	assert.False(t, r.ExpiredOn("2027-03-01"), "the day itself is the last")
	assert.True(t, r.ExpiredOn("2027-03-02"))
	assert.False(t, r.ExpiredOn(""), "nothing is known without a date")
	assert.False(t, (&shapes.Roll{}).ExpiredOn("2027-03-02"))
}

func TestUnfit(t *testing.T) {
	f := &shapes.Fabric{OutLife: 240 * 60}
	assert.Equal(t, "", f.Unfit(&shapes.Roll{OutUsed: 60, Expires: "2027-03-01"}, "2027-03-01"))
	assert.Equal(t, "it expired on 2027-03-01 and the job is cut on 2027-03-02", f.Unfit(&shapes.Roll{Expires: "2027-03-01"}, "2027-03-02"))
	assert.Equal(t, "its out-life of 240.0 h is used up: 236.0 h out, 6.0 h to thaw", f.Unfit(&shapes.Roll{OutUsed: 236 * 60, Thaw: 360}, ""))
	assert.Equal(t, "", (&shapes.Fabric{}).Unfit(&shapes.Roll{}, "2027-03-02"))
}

func TestParseDate(t *testing.T) {
	d, err := shapes.ParseDate("2028-02-29")
	assert.NoError(t, err)
	assert.Equal(t, shapes.Date("2028-02-29"), d)
	for _, s := range []string{"", "2027-02-29", "27-03-01", "2027-3-1", "2027-03-01T07:00", "2027/03/01"} {
		_, err := shapes.ParseDate(s)
		assert.Error(t, err, s)
	}
}

func TestParseClock(t *testing.T) {
	for text, want := range map[string]float64{"00:00": 0, "07:30": 450, "7:30": 450, "23:59": 1439} {
		got, err := shapes.ParseClock(text)
		assert.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, s := range []string{"", "7", "24:00", "07:60", "-1:00", "07:30:00"} {
		_, err := shapes.ParseClock(s)
		assert.Error(t, err, s)
	}
}
