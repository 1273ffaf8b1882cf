package rules

// All lists every rule in the order reports print them.
var All = []*Rule{
	// Identity.
	SerialReuse,
	SerialKnownBad,
	SerialSpecimen,
	SerialNear,
	SerialTwoParts,
	SerialRun,
	SerialsDiffer,
	SerialFormat,
	SerialQuantity,
	SerialPlaceholder,
	SerialFits,
	SerialSeenEarlier,
	SerialConfirmedCopy,
	SerialConfirmedGenuine,
	PartNumberUnknown,
	BrandDisguised,
	BrandDenied,
	BrandYetFits,
	GTINCheckDigit,
	GTINRestricted,
	GTINOtherFirm,
	DateImpossible,
	PlatePartDiffers,
	ModelMismatch,
	ModelWithoutMark,
	OtherBrandLeads,
	OEListLong,
	NoPartNumber,
	ReadingsDiffer,

	// Photo.
	PhotoReuse,
	PhotoAltered,
	PhotoPiece,
	CataloguePictureOnly,
	NoPlateView,
	ViewsNotShown,
	PlateAndBox,
	MarkIsGround,
	MarkIsMissing,
	PlateLooksOdd,
	PictureOfOtherPage,
	SerialMasked,
	FeatureAsCopy,
	PhotoDateContradicts,
	FeatureAsGenuine,
	PhotoConfirmedCopy,

	// Packaging.
	MarksToOrder,
	LoosePlates,
	BoxSoldAlone,
	LabelSerial,
	BoxBrandDiffers,
	NeutralBox,

	// Claim.
	CopyTold,
	LogoRemoved,
	SurplusSameFactory,
	ClaimContradiction,
	NewYetWorkedOn,
	DisclaimerYetGenuine,
	UpgradeYetOriginal,
	DomesticMadeContradicted,
	OriginDiffers,
	OriginNotAPlant,
	RivalMarksStuffed,
	RemanNoRebuilder,
	LeftoverNumber,
	QualityHedge,
	VagueOrigin,

	// Price.
	PriceBelowReference,
	PriceLowOutlier,
	NewAtCorePrice,
	NewBelowReman,
	BulkTerms,
	LowAcrossParts,
	ClearanceTold,
	PriceInOtherCurrency,
	UniformDiscount,
	OddPriceShared,
	ShippingOverPrice,

	// Cross-listing.
	PhotoOtherUnit,
	SharedMisspelling,
	NearDuplicateText,
	SameCamera,
	GTINManyParts,

	// Seller.
	DealerNotListed,
	StockDiscontinued,
	YoungAccountStock,
	SharedContact,
	TraderNumberInvalid,
	FeedbackLow,
	SellerAuthorised,
	SellerConfirmedCopy,
	SellerConfirmedGenuine,

	// Time.
	RelistedAfterRemoval,
	NewAccountOldGoods,
	ClaimEdited,
	PriceCollapse,
	LastOneNeverSells,

	// Terms.
	OffPlatform,
	NoReturnsNew,
	WarrantyUnbacked,
	WasPriceLarge,
	GiftBundled,
	RemanNoCore,
}

// IDs lists the IDs of all rules.
func IDs() []string {
	ids := make([]string, len(All))
	for i, r := range All {
		ids[i] = r.ID
	}
	return ids
}
