package api

// Comparison is the answer to POST /v1/supply-comparisons. openapi.yaml describes every member.
type Comparison struct {
	ID           string           `json:"id"`
	Engine       string           `json:"engine"`
	Reference    string           `json:"reference,omitempty"`
	Title        string           `json:"title,omitempty"`
	Units        string           `json:"units"`
	PriceList    PriceListUsed    `json:"price_list"`
	Requirements []Requirement    `json:"requirements"`
	Materials    []BoughtMaterial `json:"materials"`
	Supply       Supply           `json:"supply"`
	Notices      []Notice         `json:"notices"`
	Workings     []Working        `json:"workings"`
}

// Requirement is one quantity that was asked for, and what it takes to buy.
type Requirement struct {
	Material   string    `json:"material"`
	Measured   Quantity  `json:"measured"`
	Compaction *Number   `json:"compaction_factor,omitempty"`
	Waste      Waste     `json:"waste"`
	Required   Quantity  `json:"required"`
	Workings   []Working `json:"workings"`
}

// BoughtMaterial is what is bought of one material, or the part of it that one job bears.
type BoughtMaterial struct {
	Material    string   `json:"material"`
	Description string   `json:"description"`
	Required    Quantity `json:"required"`
	Bought      Quantity `json:"bought"`
	Surplus     Quantity `json:"surplus"`
	Mass        Quantity `json:"mass"`
	Amount      string   `json:"amount"`
}

// Steps are cost against quantity as step functions. A form that is not sold has none.
type Steps struct {
	UpTo Quantity `json:"up_to"`
	Bags []Step   `json:"bags"`
	Bulk []Step   `json:"bulk"`
}

// Step is one step: quantities above that of the step before, up to and with UpTo, cost Cost.
type Step struct {
	UpTo   Quantity `json:"up_to"`
	Cost   string   `json:"cost"`
	Needed bool     `json:"needed,omitempty"` // what is needed lies in this step
}

// PooledPlan is the answer to POST /v1/supply-plans. openapi.yaml describes every member.
type PooledPlan struct {
	ID        string           `json:"id"`
	Engine    string           `json:"engine"`
	Reference string           `json:"reference,omitempty"`
	Title     string           `json:"title,omitempty"`
	Units     string           `json:"units"`
	PriceList PriceListUsed    `json:"price_list"`
	Apart     string           `json:"apart,omitempty"`
	Together  string           `json:"together"`
	Saved     string           `json:"saved,omitempty"`
	Rule      string           `json:"rule"`
	Jobs      []JobShare       `json:"jobs"`
	Materials []BoughtMaterial `json:"materials"`
	Supply    Supply           `json:"supply"`
	Notices   []Notice         `json:"notices"`
	Workings  []Working        `json:"workings"`
}

// JobShare is what one job bears of a plan.
type JobShare struct {
	ID           string           `json:"id"`
	Goods        string           `json:"goods"`
	Delivery     string           `json:"delivery"`
	Adjustment   string           `json:"adjustment"`
	Amount       string           `json:"amount"`
	AloneAmount  string           `json:"alone_amount,omitempty"`
	Saved        string           `json:"saved,omitempty"`
	Requirements []Requirement    `json:"requirements,omitempty"`
	Materials    []BoughtMaterial `json:"materials"`
	Deliveries   []DeliveryShare  `json:"deliveries"`
	Alone        *Plan            `json:"alone,omitempty"`
	Unavailable  string           `json:"unavailable,omitempty"`
	Workings     []Working        `json:"workings"`
}

// DeliveryShare is what one job bears of the drops or trips of one supplier.
type DeliveryShare struct {
	Supplier string   `json:"supplier"`
	Way      string   `json:"way"`
	Mass     Quantity `json:"mass"`
	Volume   Quantity `json:"volume"`
	Amount   string   `json:"amount"`
}
