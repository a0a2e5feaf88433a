package quantity

// Scales of temperature, NIST SP 811 (2008) Appendix B.8: t/°C = T/K - 273.15 and t/°F = 1.8 T/K - 459.67.
const (
	celsiusZero      = 273.15 // K
	fahrenheitZero   = 459.67 // °F above absolute zero
	degreeFahrenheit = 5. / 9 // K
)

// Fahrenheit gives the temperature of f °F.
func Fahrenheit(f float64) Quantity {
	return Of((f+fahrenheitZero)*5/9, Temperature)
}

// Celsius gives the temperature of c °C.
func Celsius(c float64) Quantity { return Of(c+celsiusZero, Temperature) }

// Fahrenheit gives a temperature in °F.
func (q Quantity) Fahrenheit() float64 { return q.SI*9/5 - fahrenheitZero }

// Celsius gives a temperature in °C.
func (q Quantity) Celsius() float64 { return q.SI - celsiusZero }

// reading gives a temperature on the system's scale.
func (s System) reading(q Quantity) float64 {
	if s == Metric {
		return q.Celsius()
	}
	return q.Fahrenheit()
}

// degree gives the system's degree in kelvins.
func (s System) degree() float64 {
	if s == Metric {
		return 1
	}
	return degreeFahrenheit
}
