package listing

// Words for [Condition].
const (
	New            = "new"
	NewOldStock    = "new-old-stock"
	Remanufactured = "remanufactured"
	Rebuilt        = "rebuilt"
	Used           = "used"
	Core           = "core"
	Unknown        = "unknown"
)

// Conditions lists the words a Condition field may hold.
var Conditions = []string{New, NewOldStock, Remanufactured, Rebuilt, Used, Core, Unknown}

// Words for [UnitType]. A CHRA is the centre housing with shaft, both wheels
// and bearings, without the outer housings and the actuator.
const (
	Complete  = "complete"
	CHRA      = "chra"
	Kit       = "kit"
	Component = "component"
)

// UnitTypes lists the words a UnitType field may hold.
var UnitTypes = []string{Complete, CHRA, Kit, Component, Unknown}

// Words for [PriceKind]. Only a fixed price can be compared with others.
const (
	PriceFixed   = "fixed"
	PriceFrom    = "from"    // "from 120", or the low end of a range
	PriceBid     = "bid"     // a running auction's bid
	PriceRequest = "request" // price on request
)

// Words for [PriceTax].
const (
	TaxIncluded = "included"
	TaxExcluded = "excluded"
)

// Words for [Availability], after the schema.org enumeration ItemAvailability.
const (
	InStock      = "InStock"
	OutOfStock   = "OutOfStock"
	PreOrder     = "PreOrder"
	BackOrder    = "BackOrder"
	SoldOut      = "SoldOut"
	Discontinued = "Discontinued"
	LimitedStock = "LimitedAvailability"
	InStoreOnly  = "InStoreOnly"
	OnlineOnly   = "OnlineOnly"
)

// Views that a careful seller of a turbocharger shows. A maker profile may
// name further ones.
const (
	ViewSerialPlate    = "serial-plate"
	ViewCompressorMark = "compressor-casting-mark"
	ViewTurbineMark    = "turbine-casting-mark"
	ViewBoxLabel       = "box-label"
	ViewWheelNut       = "wheel-nut"
	ViewActuator       = "actuator-bracket"
)

// Views lists the built-in views in their fixed order.
var Views = []string{ViewSerialPlate, ViewCompressorMark, ViewTurbineMark,
	ViewBoxLabel, ViewWheelNut, ViewActuator}
