// Package water works out what a crop needs, how a drip system brings it, and what the soil keeps of it. In
// go weather, soils, crops' coefficients, tubes, pumps and zones as plain numbers; out come depths, flows,
// pressures and run times, or an error that names the number and its limit.
//
// Need counts in the units its equations are printed in: °C, kPa, MJ/m2 a day, m/s, and water as a depth in
// mm, which is a liter on a square meter. Delivery and soil count in m, m2, m3, s, m3/s and Pa. A number
// that was not measured is NaN.
//
// The way through the files: air, sun, radiation and weather lead to reference (ET of a day) and month (of a
// year's normals); crop, stages and curve to the crop's share of it, initial, dual and cover to its finer
// forms; store and balance to what the roots find. emitter and friction lead to lateral (one row), part and
// source to network (rows, headers and valves together), which tree solves. wetting and runs lead back to
// the soil. FAO-56 is Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56; "memory"
// marks what was recalled and not read in its source, "common practice" what has none.
package water
