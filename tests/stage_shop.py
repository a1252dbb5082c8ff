"""An invented shop of parts for marionettes and toy theatres in St. John's, Newfoundland: half an hour off everybody.

It is no copy of another: rods longer than any box but one, pots that no envelope takes, bags and boxes with prices,
carriers with cut-offs of their own on Fridays and Saturdays, a province's holidays, a closure; Canadian dollars.
"""

from pathlib import Path

ZONE = "America/St_Johns"

FILES = {
    "parts.csv": "part,description,family,size,finish,unit_weight_g,piece_sd_g,sample_pieces,weight_source,"
    "bulk_volume_mm3,longest_mm,width_mm,thickness_mm,supply,supplier,hazards,customs_description,hs_code,origin,price,currency\n"
    "ROD-820,Control rod 820 x 6,control rod,820 x 6,beech,16.2,0.08,40,sampled,46000,820,6,6,buy,"
    "Spruce Yard (invented),,wooden rods for marionettes,442199,CA,3.40,CAD\n"
    "POT-59,Scenery paint 25 ml,scenery paint,25 ml,ochre,44.6,0.15,30,sampled,98000,59,37,37,buy,Ochre Pit (invented),"
    ",water paints for toy theatres,321000,CA,6.20,CAD\n"
    "EYE-8,Glass eye 8,glass eye,8 mm,brown,0.90,0.004,50,sampled,450,8,8,8,buy,Bead Works (invented),,"
    "glass eyes for marionettes,701890,CZ,0.80,CAD\n"
    "HINGE-20,Flap hinge 20,flap hinge,20 x 14,brass,2.35,0.010,40,sampled,900,20,14,3,make,,,"
    "brass hinges for toy theatres,830210,CA,1.10,CAD\n",
    "bins.csv": "bin,aisle,side,section,level,y_mm,part,lot,pieces\nP-1,Parry,left,1,1,800,ROD-820,,40\n"
    "P-2,Parry,right,2,1,2200,POT-59,,30\nD-1,Dee,left,1,1,900,EYE-8,,400\nD-2,Dee,right,3,2,3100,HINGE-20,,12\n",
    "room.csv": "element,name,x_mm,y_mm\naisle,Parry,900,\naisle,Dee,3300,\ncross-aisle,front,,0\n"
    "cross-aisle,back,,5000\n"
    "bench,bench,900,0\n",
    "scales.csv": "scale,accuracy_class,e_g,d_g,max_g,min_g,repeatability_g,use\nWREN,II,0.01,0.01,620,0.2,0.004,bags\n"
    "AUK,II,0.5,0.5,12000,10,0.2,packages\n",
    "bags.csv": "bag_type,width_mm,height_mm,usable_volume_mm3,tare_g,tare_sd_g,max_load_g,price,currency\n"
    "NIP,60,80,40000,0.62,0.004,250,0.02,CAD\nTILE,120,180,330000,1.90,0.010,800,0.05,CAD\n"
    "LANCE,90,900,1300000,9.20,0.050,2500,0.31,CAD\n",
    "boxes.csv": "box_type,length_mm,width_mm,height_mm,wall_mm,tare_g,tare_sd_g,max_load_g,fill_fraction,price,"
    "currency\n"
    "SLIP,240,170,25,1,14,0.2,900,0.55,0.30,CAD\nCUBE,130,100,90,2,52,0.4,2000,0.7,0.85,CAD\n"
    "CHEST,300,200,150,3,210,0.9,9000,0.7,0.60,CAD\nLONG,900,90,90,3,265,1.1,5000,0.6,2.40,CAD\n",
    "services.csv": "service,name,kind,countries,cut_off,cut_offs,collection_days,holidays,max_weight_g,max_longest_mm,"
    "divisor_cm3_per_kg\nCOVE,Cove lorry (invented),parcel,CA,16:00,Fri 14:30,Mon Tue Wed Thu Fri,,25000,1200,5000\n"
    "GULL,Gull small packet (invented),postal,*,15:00,Sat 11:00,Mon Tue Wed Thu Fri Sat,CA-NL,2000,,\n",
    "zones.csv": "service,country,zone\nCOVE,CA,1\nGULL,CA,1\n",
    "prices.csv": "service,valid_from,zone,up_to_g,price,currency\nCOVE,2026-01-01,1,1000,9.40,CAD\n"
    "COVE,2026-01-01,1,3000,12.90,CAD\nCOVE,2026-01-01,1,9000,19.50,CAD\nGULL,2026-01-01,1,100,2.60,CAD\n"
    "GULL,2026-01-01,1,500,5.10,CAD\nGULL,2026-01-01,1,2000,9.80,CAD\n",
    "closures.csv": "service,first_day,last_day,why\n,2026-07-03,,stocktaking\nGULL,2026-08-05,2026-08-06,regatta\n",
    "settings.csv": "setting,value\nshop_name,Harlequin Loft (invented)\nstreet,1 Sample Hill\ncity,St. John's-Sample\n"
    "post_code,A1A 0A0\nregion,NL\ncountry,CA\nphone,+1 000 000 0000\nemail,shop@example.org\n"
    f"time_zone,{ZONE}\ncurrency,CAD\npaper,Letter\npublic_holidays,CA-NL\npackage_work_minor,150\n",
    "orders.csv": "order,received_at,source,name,street,city,post_code,region,country,service,ship_complete,part,"
    "pieces,unit_price\n"
    "T-1,2026-06-26T09:10:00-02:30,web,Colombine Sample,4 Sample Row,Gander-Sample,A1V 0A0,NL,CA,COVE,no,ROD-820,2,"
    "3.40\n"
    "T-1,,,,,,,,,,,HINGE-20,30,1.10\n"
    "T-2,2026-06-26T09:20:00-02:30,web,Scaramouche Modèle,9 rue Modèle,Corner Brook-Sample,A2H 0A0,NL,CA,GULL,"
    "yes,EYE-8,20,0.80\n"
    "T-3,2026-06-26T09:30:00-02:30,phone,Pantaloon Sample,2 Sample Cove,Twillingate-Sample,A0G 0A0,NL,CA,COVE,yes,"
    "POT-59,2,6.20\n",
}


def stage_catalogue(folder: Path) -> Path:
    """Writes the shop's catalogue and its orders into a folder (made if missing)."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder
