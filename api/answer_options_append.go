package api

import "strconv"

func appendOptionAnswer(b []byte, v *OptionAnswer) []byte {
	b = append(b, `{"name":`...)
	b = appendText(b, v.Name)
	b = append(b, `,"id":`...)
	b = appendText(b, v.ID)
	b = append(b, `,"sentence":`...)
	b = appendText(b, v.Sentence)
	b = append(b, `,"price_difference":`...)
	b = appendText(b, v.PriceDifference)
	b = append(b, `,"landed_cost":`...)
	b = appendText(b, v.LandedCost)
	b = append(b, `,"totals":`...)
	b = appendTotals(b, &v.Totals)
	b = append(b, `,"difference":`...)
	b = appendTotalsDifference(b, &v.Difference)
	b = append(b, `,"lines":`...)
	b = appendList(b, v.Lines, appendLineDifference)
	b = append(b, `,"unchanged_lines":`...)
	b = strconv.AppendInt(b, int64(v.UnchangedLines), 10)
	b = append(b, `,"new_notices":`...)
	b = appendList(b, v.NewNotices, appendNotice)
	b = append(b, `,"gone_notices":`...)
	b = appendList(b, v.GoneNotices, appendNotice)
	b = append(b, `,"workings":`...)
	b = appendList(b, v.Workings, appendWorking)
	if v.Answer != nil {
		b = append(b, `,"answer":`...)
		b = appendAnswer(b, v.Answer)
	}
	return append(b, '}')
}

func appendChangeOrder(b []byte, v *ChangeOrder) []byte {
	b = append(b, `{"earlier":`...)
	b = appendEarlierJob(b, &v.Earlier)
	b = append(b, `,"basis":`...)
	b = appendText(b, v.Basis)
	b = append(b, `,"sentence":`...)
	b = appendText(b, v.Sentence)
	b = append(b, `,"price_difference":`...)
	b = appendText(b, v.PriceDifference)
	b = append(b, `,"difference":`...)
	b = appendTotalsDifference(b, &v.Difference)
	b = append(b, `,"added_lines":`...)
	b = appendList(b, v.AddedLines, appendLineDifference)
	b = append(b, `,"saved_lines":`...)
	b = appendList(b, v.SavedLines, appendLineDifference)
	b = append(b, `,"changed_lines":`...)
	b = appendList(b, v.ChangedLines, appendLineDifference)
	b = append(b, `,"unchanged_lines":`...)
	b = strconv.AppendInt(b, int64(v.UnchangedLines), 10)
	b = append(b, `,"new_work":`...)
	b = appendList(b, v.NewWork, appendChangedWork)
	b = append(b, `,"dropped_work":`...)
	b = appendList(b, v.DroppedWork, appendChangedWork)
	b = append(b, `,"if_bought":`...)
	b = appendList(b, v.IfBought, appendStock)
	b = append(b, `,"new_notices":`...)
	b = appendList(b, v.NewNotices, appendNotice)
	b = append(b, `,"gone_notices":`...)
	b = appendList(b, v.GoneNotices, appendNotice)
	b = append(b, `,"workings":`...)
	b = appendList(b, v.Workings, appendWorking)
	return append(b, '}')
}

func appendEarlierJob(b []byte, v *EarlierJob) []byte {
	b = append(b, `{"id":`...)
	b = appendText(b, v.ID)
	if v.Reference != "" {
		b = append(b, `,"reference":`...)
		b = appendText(b, v.Reference)
	}
	if v.Title != "" {
		b = append(b, `,"title":`...)
		b = appendText(b, v.Title)
	}
	b = append(b, `,"price_list":`...)
	b = appendPriceListUsed(b, &v.PriceList)
	b = append(b, `,"hours":`...)
	b = append(b, v.Hours...)
	b = append(b, `,"price":`...)
	b = appendText(b, v.Price)
	return append(b, '}')
}

func appendTotalsDifference(b []byte, v *TotalsDifference) []byte {
	b = append(b, `{"hours":`...)
	b = append(b, v.Hours...)
	b = append(b, `,"materials":`...)
	b = appendText(b, v.Materials)
	b = append(b, `,"delivery":`...)
	b = appendText(b, v.Delivery)
	b = append(b, `,"equipment":`...)
	b = appendText(b, v.Equipment)
	b = append(b, `,"labour":`...)
	b = appendText(b, v.Labour)
	b = append(b, `,"disposal":`...)
	b = appendText(b, v.Disposal)
	b = append(b, `,"direct_cost":`...)
	b = appendText(b, v.DirectCost)
	b = append(b, `,"contingency":`...)
	b = appendText(b, v.Contingency)
	b = append(b, `,"overhead":`...)
	b = appendText(b, v.Overhead)
	b = append(b, `,"profit":`...)
	b = appendText(b, v.Profit)
	b = append(b, `,"before_tax":`...)
	b = appendText(b, v.BeforeTax)
	b = append(b, `,"tax":`...)
	b = appendText(b, v.Tax)
	b = append(b, `,"price":`...)
	b = appendText(b, v.Price)
	b = append(b, `,"landed_cost":`...)
	b = appendText(b, v.LandedCost)
	return append(b, '}')
}

func appendLineDifference(b []byte, v *LineDifference) []byte {
	b = append(b, `{"change":`...)
	b = appendText(b, v.Change)
	b = append(b, `,"key":`...)
	b = appendText(b, v.Key)
	b = append(b, `,"category":`...)
	b = appendText(b, v.Category)
	b = append(b, `,"description":`...)
	b = appendText(b, v.Description)
	if v.Material != "" {
		b = append(b, `,"material":`...)
		b = appendText(b, v.Material)
	}
	if v.Operation != "" {
		b = append(b, `,"operation":`...)
		b = appendText(b, v.Operation)
	}
	if v.Supplier != "" {
		b = append(b, `,"supplier":`...)
		b = appendText(b, v.Supplier)
	}
	if v.Measured != nil {
		b = append(b, `,"measured":`...)
		b = appendQuantityChange(b, v.Measured)
	}
	if v.Required != nil {
		b = append(b, `,"required":`...)
		b = appendQuantityChange(b, v.Required)
	}
	if v.Order != nil {
		b = append(b, `,"order":`...)
		b = appendOrderChange(b, v.Order)
	}
	if v.Hours != nil {
		b = append(b, `,"hours":`...)
		b = appendHoursChange(b, v.Hours)
	}
	b = append(b, `,"amount":`...)
	b = appendMoneyChange(b, &v.Amount)
	b = append(b, `,"tax":`...)
	b = appendMoneyChange(b, &v.Tax)
	return append(b, '}')
}

func appendQuantityChange(b []byte, v *QuantityChange) []byte {
	b = append(b, `{"before":`...)
	b = appendQuantity(b, &v.Before)
	b = append(b, `,"after":`...)
	b = appendQuantity(b, &v.After)
	b = append(b, `,"difference":`...)
	b = appendQuantity(b, &v.Difference)
	return append(b, '}')
}

func appendOrderChange(b []byte, v *OrderChange) []byte {
	b = append(b, `{"before":`...)
	b = appendList(b, v.Before, appendOrderLine)
	b = append(b, `,"after":`...)
	b = appendList(b, v.After, appendOrderLine)
	return append(b, '}')
}

func appendHoursChange(b []byte, v *HoursChange) []byte {
	b = append(b, `{"before":`...)
	b = append(b, v.Before...)
	b = append(b, `,"after":`...)
	b = append(b, v.After...)
	b = append(b, `,"difference":`...)
	b = append(b, v.Difference...)
	return append(b, '}')
}

func appendMoneyChange(b []byte, v *MoneyChange) []byte {
	b = append(b, `{"before":`...)
	b = appendText(b, v.Before)
	b = append(b, `,"after":`...)
	b = appendText(b, v.After)
	b = append(b, `,"difference":`...)
	b = appendText(b, v.Difference)
	return append(b, '}')
}

func appendChangedWork(b []byte, v *ChangedWork) []byte {
	b = append(b, `{"operation":`...)
	b = appendText(b, v.Operation)
	b = append(b, `,"description":`...)
	b = appendText(b, v.Description)
	b = append(b, `,"hours":`...)
	b = append(b, v.Hours...)
	return append(b, '}')
}

func appendStock(b []byte, v *Stock) []byte {
	b = append(b, `{"material":`...)
	b = appendText(b, v.Material)
	b = append(b, `,"description":`...)
	b = appendText(b, v.Description)
	b = append(b, `,"bought":`...)
	b = appendQuantity(b, &v.Bought)
	b = append(b, `,"required":`...)
	b = appendQuantity(b, &v.Required)
	b = append(b, `,"left_over":`...)
	b = appendQuantity(b, &v.LeftOver)
	b = append(b, `,"to_buy":`...)
	b = appendQuantity(b, &v.ToBuy)
	return append(b, '}')
}
