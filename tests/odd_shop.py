"""A shop unlike the demo's, for tests: passages instead of aisles, yen, Tokyo's clock, texts that files like to spoil.

All of it is invented.
"""

from pathlib import Path

FILES = {
    "parts.csv": "part,description,family,size,finish,unit_weight_g,piece_sd_g,sample_pieces,weight_source,lot,"
    "bulk_volume_mm3,longest_mm,supply,supplier,hazards,customs_description,hs_code,origin,price,currency\n"
    '=M4,"Screw ""M4"", long; short","screw, cap",M4 x 12,,1.1,0.008,60,sampled,L1,300,16,buy,,,steel screws,731815,'
    "JP,12,JPY\n"
    "0012,Τροχός 12,gear,12,мосазь,0.9,0.006,40,sampled,,220,9,make,Haguruma-ya (invented),leaded-brass,"
    "brass gears,848390,JP,340,JPY\n"
    "1E05,Ёлочная пружина,spring,,,,,,,,,30,buy,Поставщик (invented),,springs,732090,,55,JPY\n",
    "room.csv": "element,name,x_mm,y_mm,from,to,length_mm,one_way\nbench,bench,0,0,,,,\ncorner,north,0,9000,,,,\n"
    "corner,east,7000,9000,,,,\npassage,long way,,,bench,north,,\npassage,back way,,,north,east,8000,\n",
    "bins.csv": "bin,aisle,side,section,level,y_mm,part,lot,pieces\nK1,long way,left,1,1,1000,=M4,L1,500\n"
    "K2,long way,right,2,3,4000,0012,,35\nK3,back way,left,1,1,2000,1E05,,0\nK4,back way,left,2,1,2500,=M4,L2,80\n",
    "scales.csv": "scale,accuracy_class,e_g,d_g,max_g,min_g,repeatability_g,use\nF,II,0.01,0.01,620,0.2,0.004,bags\n"
    "G,III,1,1,15000,20,0.4,packages\n",
    "bags.csv": "bag_type,width_mm,height_mm,usable_volume_mm3,tare_g,tare_sd_g,max_load_g\nB,90,130,,1.40,0.01,600\n",
    "boxes.csv": "box_type,length_mm,width_mm,height_mm,tare_g,tare_sd_g,max_load_g,fill_fraction\n"
    "X,200,150,90,71.5,0.9,4000,0.65\n",
    "services.csv": "service,name,kind,countries,cut_off,max_weight_g\nslow,Slow post (invented),postal,*,15:15,2000\n"
    "fast,Fast round (invented),parcel,JP KR,18:00,25000\n",
    "zones.csv": "service,country,zone\nfast,JP,1\nfast,KR,2\n",
    "prices.csv": "service,valid_from,zone,up_to_g,price,currency\nfast,2026-01-01,1,5000,900,JPY\n"
    "fast,2026-01-01,2,5000,2100,JPY\n",
    "surcharges.csv": "service,valid_from,surcharge,country,post_codes,percent,amount,currency\n"
    "fast,2026-02-01,fuel,*,,7.25,,\nfast,2026-02-01,island,KR,63 40,,350,JPY\n",
    "sdr_rates.csv": "currency,as_of,per_sdr,source\nJPY,2026-02-27,201.50,invented\n",
    "settings.csv": "setting,value\nshop_name,Часы и τροχοί (invented)\ncity,Sampleton\ncountry,JP\n"
    "time_zone,Asia/Tokyo\ncurrency,JPY\npaper,Letter\n",
}


def odd_catalogue(folder: Path) -> Path:
    """Writes the shop's catalogue into a folder (made if missing)."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder
