package feeding

// Strength gives the concentration of a nutrient in a stock solution, kg/m³, from the mass of product in it, kg, the
// nutrient's share of the product and the volume of the solution, m³. 1 kg/m³ is 1,000 ppm in water.
// Whether that much dissolves is on the product's label and not known here.
func Strength(mass, share, volume float64) float64 { return mass * share / volume }

// Stock gives the mass of product, kg, in a volume of stock solution, m³, for a concentration at the emitter (a
// ratio: 200e-6 is 200 ppm), a proportioner of 1 part to ratio parts (100 for 1:100), and the nutrient's share of the
// product: concentration x ratio x volume x 1000 kg/m³ / share. In ounces for each gallon: ppm x ratio x 1.3353e-4 / share.
func Stock(concentration, ratio, share, volume float64) float64 {
	return concentration * ratio * volume * waterDensity / share
}

// waterDensity in kg/m³ makes a mass in a volume of water a ratio.
const waterDensity = 1000

// Injection is one feeding through the water.
type Injection struct {
	Rate          float64 // stock solution into the line, m³/s
	Seconds       float64 // of injecting
	Concentration float64 // of the nutrient at the emitters, ratio
	Ratio         float64 // parts of water to one of stock
}

// Inject works out a feeding from the nutrient's concentration in the stock, kg/m³, the volume of stock to use up, m³,
// the injector's rate and the zone's flow, both m³/s. The zone's flow is what the emitters give off, the stock
// in it: concentration = strength x rate / flow / 1000 kg/m³, time = volume / rate (injection rate Ic = volume / time,
// Washington State University FS035E).
func Inject(strength, volume, rate, flow float64) Injection {
	return Injection{
		Rate: rate, Seconds: volume / rate, Concentration: strength * rate / flow / waterDensity, Ratio: flow / rate,
	}
}

// InjectFor works out the injector's rate for a concentration at the emitters, a ratio: rate = concentration x flow x 1000
// kg/m³ / strength.
func InjectFor(concentration, strength, volume, flow float64) Injection {
	return Inject(strength, volume, concentration*flow*waterDensity/strength, flow)
}
