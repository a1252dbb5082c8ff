BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0008');
CREATE TABLE allocation (
	order_number VARCHAR NOT NULL, 
	line_no INTEGER NOT NULL, 
	bin_code VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	CONSTRAINT pk_allocation PRIMARY KEY (order_number, line_no, bin_code), 
	CONSTRAINT ck_allocation_pieces_range CHECK (pieces BETWEEN 1 AND 999999999), 
	CONSTRAINT fk_allocation_bin_code FOREIGN KEY(bin_code) REFERENCES bin (code), 
	CONSTRAINT fk_allocation_order_number_line_no FOREIGN KEY(order_number, line_no) REFERENCES order_line (order_number, line_no)
);
INSERT INTO "allocation" VALUES('A-SHORT',1,'bin-NUT',15);
INSERT INTO "allocation" VALUES('B-HELD',1,'bin-BALL',8);
INSERT INTO "allocation" VALUES('B-HALF',1,'bin-BALL',25);
INSERT INTO "allocation" VALUES('C-NEW',1,'bin-BALL',4);
INSERT INTO "allocation" VALUES('C-NEW',2,'bin-GEAR',5);
CREATE TABLE bag (
	code VARCHAR NOT NULL, 
	order_number VARCHAR NOT NULL, 
	line_no INTEGER NOT NULL, 
	part_number VARCHAR NOT NULL, 
	bin_code VARCHAR NOT NULL, 
	lot VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	bag_type VARCHAR NOT NULL, 
	walk_number VARCHAR NOT NULL, 
	cart_position INTEGER NOT NULL, 
	stop_no INTEGER NOT NULL, 
	method VARCHAR(20) NOT NULL, 
	scale_code VARCHAR NOT NULL, 
	tare_g BIGINT NOT NULL, 
	target_g BIGINT, 
	lower_g BIGINT, 
	upper_g BIGINT, 
	p_reject FLOAT, 
	p_pass_one_short FLOAT, 
	p_pass_one_over FLOAT, 
	reason VARCHAR NOT NULL, 
	state VARCHAR(20) NOT NULL, 
	checks INTEGER NOT NULL, 
	package_number VARCHAR NOT NULL, gross_g BIGINT, gross_u_g FLOAT, boxed_at DATETIME, 
	CONSTRAINT pk_bag PRIMARY KEY (code), 
	CONSTRAINT ck_bag_method_word CHECK (method IN ('weigh', 'count by hand')), 
	CONSTRAINT ck_bag_state_word CHECK (state IN ('planned', 'passed', 'recount', 'look', 'stop', 'packed')), 
	CONSTRAINT ck_bag_checks_range CHECK (checks BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_bag_window_order CHECK (lower_g <= upper_g), 
	CONSTRAINT ck_bag_risks_are_probabilities CHECK (p_reject <= 1 AND p_pass_one_short <= 1 AND p_pass_one_over <= 1), 
	CONSTRAINT ck_bag_pieces_range CHECK (pieces BETWEEN 1 AND 999999999), 
	CONSTRAINT ck_bag_tare_g_above_zero CHECK (tare_g > 0 AND tare_g < 1e18), 
	CONSTRAINT fk_bag_order_number_line_no FOREIGN KEY(order_number, line_no) REFERENCES order_line (order_number, line_no), 
	CONSTRAINT fk_bag_part_number FOREIGN KEY(part_number) REFERENCES part (number), 
	CONSTRAINT fk_bag_walk_number FOREIGN KEY(walk_number) REFERENCES walk (number)
);
INSERT INTO "bag" VALUES('B2603020001','A-KIT',1,'BALL','bin-BALL','',20,'bag','W2603020001',1,1,'weigh','S',620000,2820000,2790000,2850000,1.21801120515094237406e-09,3.7580939292524814378e-39,5.32557267743346577932e-39,'','packed',1,'P2603020004',2820000,4.93288286231624746591e-03,NULL);
INSERT INTO "bag" VALUES('B2603020002','A-SENT',1,'BALL','bin-BALL','',20,'bag','W2603020001',2,1,'weigh','S',620000,2820000,2790000,2850000,1.21801120515094237406e-09,3.7580939292524814378e-39,5.32557267743346577932e-39,'','packed',1,'P2603020001',2820000,4.93288286231624746591e-03,NULL);
INSERT INTO "bag" VALUES('B2603020003','A-SHORT',2,'BALL','bin-BALL','',5,'bag','W2603020001',3,1,'weigh','S',620000,1170000,1140000,1200000,7.14857316848906e-10,3.51226537363839476195e-40,4.69149745784336564755e-40,'','packed',1,'P2603020003',1170000,4.93288286231624746591e-03,NULL);
INSERT INTO "bag" VALUES('B2603020004','A-KIT',1,'GEAR','bin-GEAR','',4,'bag','W2603020001',1,2,'weigh','S',620000,13420000,13350000,13490000,1.35056949481717870897e-07,0.0,0.0,'','packed',1,'P2603020004',13420000,4.93288286231624746591e-03,NULL);
INSERT INTO "bag" VALUES('B2603020005','A-SENT',2,'NUT','bin-NUT','',5,'bag','W2603020001',2,3,'weigh','S',620000,2620000,2590000,2650000,3.95924894109259576562e-09,0.0,0.0,'','packed',1,'P2603020001',2620000,4.93288286231624746591e-03,NULL);
INSERT INTO "bag" VALUES('B2603020006','A-SHORT',1,'NUT','bin-NUT','',85,'bag','W2603020001',3,3,'weigh','S',620000,34620000,34570000,34670000,1.79196810584937179676e-06,5.02123704461324849067e-200,6.08058490864149639573e-195,'','packed',1,'P2603020003',34620000,4.93288286231624746591e-03,NULL);
INSERT INTO "bag" VALUES('B2603020007','B-BOXED',1,'BALL','bin-BALL','',7,'bag','W2603020002',2,1,'weigh','S',620000,1390000,1360000,1420000,7.63031260574434572543e-10,4.69149745784336564755e-40,6.32030978392139182074e-40,'','packed',1,'P2603020005',1390000,4.93288286231624746591e-03,NULL);
INSERT INTO "bag" VALUES('B2603020009','B-CHECKED',1,'BALL','bin-BALL','',12,'bag','W2603020002',4,1,'weigh','S',620000,1940000,1910000,1970000,9.05466733245708233109e-10,1.00377857112373786662e-39,1.38023358020185355399e-39,'','passed',1,'',1940000,4.93288286231624746591e-03,NULL);
INSERT INTO "bag" VALUES('B2603020011','B-HELD',1,'BALL','bin-BALL','',8,'bag','W2603020002',6,1,'weigh','S',620000,1500000,1470000,1530000,7.88879018651729771493e-10,5.43960392799965265428e-40,7.35892272736032125764e-40,'','planned',0,'',NULL,NULL,NULL);
INSERT INTO "bag" VALUES('B2603020012','B-SEALED',1,'BALL','bin-BALL','',6,'bag','W2603020002',7,1,'weigh','S',620000,1280000,1250000,1310000,7.38376536499580905011e-10,4.0549116423430209043e-40,5.43960392799965265428e-40,'','packed',1,'P2603020006',1280000,4.93288286231624746591e-03,NULL);
INSERT INTO "bag" VALUES('B2603020013','A-SHORT',1,'NUT','bin-NUT','',15,'bag','W2603020002',1,2,'weigh','S',620000,6620000,6590000,6650000,9.55607991116089687099e-08,0.0,0.0,'','planned',0,'',NULL,NULL,NULL);
INSERT INTO "bag" VALUES('B2603020014','B-CHECKED',2,'NUT','bin-NUT','',3,'bag','W2603020002',4,2,'weigh','S',620000,1820000,1790000,1850000,1.92006724005696883606e-09,0.0,0.0,'','passed',1,'',1820000,4.93288286231624746591e-03,NULL);
INSERT INTO "bag" VALUES('B2603020019','B-HALF',1,'BALL','bin-BALL','',25,'bag','W2603020004',1,1,'weigh','S',620000,3370000,3340000,3400000,1.48531137024034375288e-09,9.10223130556862261922e-39,1.31217365956947962647e-38,'','planned',0,'',NULL,NULL,NULL);
INSERT INTO "bag" VALUES('B2603020020','C-NEW',1,'BALL','bin-BALL','',4,'bag','W2603020004',2,1,'weigh','S',620000,1060000,1030000,1090000,6.92419098236679335205e-10,3.04887401822362617224e-40,4.0549116423430209043e-40,'','planned',0,'',NULL,NULL,NULL);
INSERT INTO "bag" VALUES('B2603020021','C-NEW',2,'GEAR','bin-GEAR','',5,'bag','W2603020004',2,2,'weigh','S',620000,16620000,16550000,16690000,1.82632686468174847242e-06,0.0,0.0,'','planned',0,'',NULL,NULL,NULL);
CREATE TABLE bag_type (
	code VARCHAR NOT NULL, 
	width_mm INTEGER NOT NULL, 
	height_mm INTEGER NOT NULL, 
	usable_volume_mm3 INTEGER NOT NULL, 
	tare_g BIGINT NOT NULL, 
	tare_sd_g FLOAT NOT NULL, 
	max_load_g BIGINT NOT NULL, 
	CONSTRAINT pk_bag_type PRIMARY KEY (code), 
	CONSTRAINT ck_bag_type_height_mm_above_zero CHECK (height_mm > 0 AND height_mm < 1e18), 
	CONSTRAINT ck_bag_type_max_load_g_above_zero CHECK (max_load_g > 0 AND max_load_g < 1e18), 
	CONSTRAINT ck_bag_type_tare_g_above_zero CHECK (tare_g > 0 AND tare_g < 1e18), 
	CONSTRAINT ck_bag_type_tare_sd_g_not_negative CHECK (tare_sd_g >= 0 AND tare_sd_g < 1e18), 
	CONSTRAINT ck_bag_type_usable_volume_mm3_above_zero CHECK (usable_volume_mm3 > 0 AND usable_volume_mm3 < 1e18), 
	CONSTRAINT ck_bag_type_width_mm_above_zero CHECK (width_mm > 0 AND width_mm < 1e18)
);
INSERT INTO "bag_type" VALUES('bag',60,80,37000,620000,0.004,200000000);
CREATE TABLE bench_place (
	bench VARCHAR NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	person VARCHAR NOT NULL, 
	walk_number VARCHAR NOT NULL, 
	order_number VARCHAR NOT NULL, 
	bag_code VARCHAR NOT NULL, 
	package_number VARCHAR NOT NULL, 
	last_bag_code VARCHAR NOT NULL, 
	clear_run INTEGER NOT NULL, 
	CONSTRAINT pk_bench_place PRIMARY KEY (bench), 
	CONSTRAINT ck_bench_place_kind_word CHECK (kind IN ('check', 'pack')), 
	CONSTRAINT ck_bench_place_clear_run_range CHECK (clear_run BETWEEN 0 AND 999999999)
);
CREATE TABLE bill_line (
	bill_number VARCHAR NOT NULL, 
	line_no INTEGER NOT NULL, 
	package_number VARCHAR NOT NULL, 
	service_code VARCHAR NOT NULL, 
	billed_g BIGINT, 
	charge_minor INTEGER NOT NULL, 
	currency VARCHAR NOT NULL, 
	CONSTRAINT pk_bill_line PRIMARY KEY (bill_number, line_no), 
	CONSTRAINT ck_bill_line_charge_minor_range CHECK (charge_minor BETWEEN -999999999 AND 999999999), 
	CONSTRAINT ck_bill_line_line_no_range CHECK (line_no BETWEEN 1 AND 999999999), 
	CONSTRAINT fk_bill_line_bill_number FOREIGN KEY(bill_number) REFERENCES carrier_bill (number)
);
CREATE TABLE billed_surcharge (
	bill_number VARCHAR NOT NULL, 
	line_no INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	amount_minor INTEGER NOT NULL, 
	CONSTRAINT pk_billed_surcharge PRIMARY KEY (bill_number, line_no, name), 
	CONSTRAINT ck_billed_surcharge_amount_minor_range CHECK (amount_minor BETWEEN -999999999 AND 999999999), 
	CONSTRAINT ck_billed_surcharge_line_no_range CHECK (line_no BETWEEN 1 AND 999999999), 
	CONSTRAINT fk_billed_surcharge_bill_number FOREIGN KEY(bill_number) REFERENCES carrier_bill (number)
);
CREATE TABLE bin (
	code VARCHAR NOT NULL, 
	aisle VARCHAR NOT NULL, 
	side VARCHAR(20) NOT NULL, 
	section INTEGER NOT NULL, 
	level INTEGER NOT NULL, 
	y_mm INTEGER NOT NULL, 
	part_number VARCHAR NOT NULL, 
	lot VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	CONSTRAINT pk_bin PRIMARY KEY (code), 
	CONSTRAINT ck_bin_side_word CHECK (side IN ('left', 'right')), 
	CONSTRAINT ck_bin_level_not_negative CHECK (level >= 0 AND level < 1e18), 
	CONSTRAINT ck_bin_pieces_range CHECK (pieces BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_bin_section_not_negative CHECK (section >= 0 AND section < 1e18), 
	CONSTRAINT ck_bin_y_mm_not_negative CHECK (y_mm >= 0 AND y_mm < 1e18), 
	CONSTRAINT fk_bin_part_number FOREIGN KEY(part_number) REFERENCES part (number)
);
INSERT INTO "bin" VALUES('bin-BALL','1','left',1,1,0,'BALL','',271);
INSERT INTO "bin" VALUES('bin-GEAR','1','left',1,1,500,'GEAR','',5);
INSERT INTO "bin" VALUES('bin-NUT','1','left',1,1,1000,'NUT','',37);
CREATE TABLE box_type (
	code VARCHAR NOT NULL, 
	length_mm INTEGER NOT NULL, 
	width_mm INTEGER NOT NULL, 
	height_mm INTEGER NOT NULL, 
	wall_mm INTEGER NOT NULL, 
	tare_g BIGINT NOT NULL, 
	tare_sd_g FLOAT NOT NULL, 
	max_load_g BIGINT NOT NULL, 
	fill_fraction FLOAT NOT NULL, cushioning_g BIGINT DEFAULT '0' NOT NULL, cushioning_sd_g FLOAT DEFAULT '0' NOT NULL, 
	CONSTRAINT pk_box_type PRIMARY KEY (code), 
	CONSTRAINT ck_box_type_fill_fraction_at_most_1 CHECK (fill_fraction <= 1), 
	CONSTRAINT ck_box_type_fill_fraction_above_zero CHECK (fill_fraction > 0 AND fill_fraction < 1e18), 
	CONSTRAINT ck_box_type_height_mm_above_zero CHECK (height_mm > 0 AND height_mm < 1e18), 
	CONSTRAINT ck_box_type_length_mm_above_zero CHECK (length_mm > 0 AND length_mm < 1e18), 
	CONSTRAINT ck_box_type_max_load_g_above_zero CHECK (max_load_g > 0 AND max_load_g < 1e18), 
	CONSTRAINT ck_box_type_tare_g_above_zero CHECK (tare_g > 0 AND tare_g < 1e18), 
	CONSTRAINT ck_box_type_tare_sd_g_not_negative CHECK (tare_sd_g >= 0 AND tare_sd_g < 1e18), 
	CONSTRAINT ck_box_type_wall_mm_not_negative CHECK (wall_mm >= 0 AND wall_mm < 1e18), 
	CONSTRAINT ck_box_type_width_mm_above_zero CHECK (width_mm > 0 AND width_mm < 1e18)
);
INSERT INTO "box_type" VALUES('box',160,110,60,0,58000000,0.3,2000000000,0.7,0,0.0);
CREATE TABLE carrier_bill (
	number VARCHAR NOT NULL, 
	file_name VARCHAR NOT NULL, 
	digest VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	CONSTRAINT pk_carrier_bill PRIMARY KEY (number), 
	CONSTRAINT uq_carrier_bill_digest UNIQUE (digest)
);
CREATE TABLE charge (
	package_number VARCHAR NOT NULL, 
	service_code VARCHAR NOT NULL, 
	zone VARCHAR NOT NULL, 
	valid_from DATE NOT NULL, 
	chargeable_g INTEGER NOT NULL, 
	price_minor INTEGER NOT NULL, 
	currency VARCHAR NOT NULL, 
	CONSTRAINT pk_charge PRIMARY KEY (package_number), 
	CONSTRAINT ck_charge_chargeable_g_range CHECK (chargeable_g BETWEEN 1 AND 999999999), 
	CONSTRAINT ck_charge_price_minor_range CHECK (price_minor BETWEEN 0 AND 999999999), 
	CONSTRAINT fk_charge_package_number FOREIGN KEY(package_number) REFERENCES package (number)
);
CREATE TABLE charged_surcharge (
	package_number VARCHAR NOT NULL, 
	name VARCHAR NOT NULL, 
	basis_points INTEGER NOT NULL, 
	amount_minor INTEGER NOT NULL, 
	CONSTRAINT pk_charged_surcharge PRIMARY KEY (package_number, name), 
	CONSTRAINT ck_charged_surcharge_basis_points_range CHECK (basis_points BETWEEN 0 AND 99999), 
	CONSTRAINT ck_charged_surcharge_amount_minor_range CHECK (amount_minor BETWEEN 0 AND 999999999), 
	CONSTRAINT fk_charged_surcharge_package_number FOREIGN KEY(package_number) REFERENCES package (number)
);
CREATE TABLE claim (
	number VARCHAR NOT NULL, 
	order_number VARCHAR NOT NULL, 
	line_no INTEGER NOT NULL, 
	part_number VARCHAR NOT NULL, 
	cause VARCHAR(20) NOT NULL, 
	pieces INTEGER NOT NULL, 
	says VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	answer VARCHAR NOT NULL, 
	CONSTRAINT pk_claim PRIMARY KEY (number), 
	CONSTRAINT ck_claim_cause_word CHECK (cause IN ('short', 'over', 'wrong part', 'damaged', 'missing', 'other')), 
	CONSTRAINT ck_claim_pieces_range CHECK (pieces BETWEEN 0 AND 999999999), 
	CONSTRAINT fk_claim_order_number FOREIGN KEY(order_number) REFERENCES customer_order (number)
);
CREATE TABLE closed_day (
	day DATE NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	ordered INTEGER NOT NULL, 
	shipped INTEGER NOT NULL, 
	packages INTEGER NOT NULL, 
	settled INTEGER NOT NULL, 
	carried_over INTEGER NOT NULL, 
	CONSTRAINT pk_closed_day PRIMARY KEY (day), 
	CONSTRAINT ck_closed_day_carried_over_range CHECK (carried_over BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_closed_day_ordered_range CHECK (ordered BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_closed_day_packages_range CHECK (packages BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_closed_day_settled_range CHECK (settled BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_closed_day_shipped_range CHECK (shipped BETWEEN 0 AND 999999999)
);
CREATE TABLE counter (
	series VARCHAR NOT NULL, 
	last INTEGER NOT NULL, 
	CONSTRAINT pk_counter PRIMARY KEY (series), 
	CONSTRAINT ck_counter_last_range CHECK (last BETWEEN 1 AND 999999999)
);
INSERT INTO "counter" VALUES('W260302',4);
INSERT INTO "counter" VALUES('B260302',21);
INSERT INTO "counter" VALUES('P260302',6);
INSERT INTO "counter" VALUES('M260302',3);
INSERT INTO "counter" VALUES('Y260302',2);
CREATE TABLE country_name (
	said VARCHAR NOT NULL, 
	country VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	CONSTRAINT pk_country_name PRIMARY KEY (said), 
	CONSTRAINT ck_country_name_country_shape CHECK (length(country) = 2)
);
CREATE TABLE customer_order (
	number VARCHAR NOT NULL, 
	source VARCHAR NOT NULL, 
	received_at DATETIME NOT NULL, 
	name VARCHAR NOT NULL, 
	company VARCHAR NOT NULL, 
	street VARCHAR NOT NULL, 
	city VARCHAR NOT NULL, 
	post_code VARCHAR NOT NULL, 
	region VARCHAR NOT NULL, 
	country VARCHAR NOT NULL, 
	phone VARCHAR NOT NULL, 
	email VARCHAR NOT NULL, 
	service_code VARCHAR NOT NULL, 
	ship_complete BOOLEAN NOT NULL, 
	note_picker VARCHAR NOT NULL, 
	note_packer VARCHAR NOT NULL, 
	currency VARCHAR NOT NULL, 
	state VARCHAR(20) NOT NULL, 
	held_reason VARCHAR NOT NULL, 
	content_digest VARCHAR DEFAULT '' NOT NULL, 
	CONSTRAINT pk_customer_order PRIMARY KEY (number), 
	CONSTRAINT ck_customer_order_state_word CHECK (state IN ('received', 'allocated', 'released', 'picked', 'checked', 'packed', 'shipped', 'held', 'cancelled')), 
	CONSTRAINT ck_customer_order_country_shape CHECK (length(country) = 2)
);
INSERT INTO "customer_order" VALUES('A-SENT','phone','2026-03-02 08:00:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',0,'','','EUR','shipped','','81cdadacf971019be07b8b0b5da0e4ce710ee76cc38f65e0e1e33799ef6a256c');
INSERT INTO "customer_order" VALUES('A-KIT','phone','2026-03-02 08:00:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',0,'','','EUR','checked','','2fbed5ce4ad1608780d057b307b765b6d0d0bd95ece73cee4575c86cddad2ac6');
INSERT INTO "customer_order" VALUES('A-SHORT','phone','2026-03-02 08:02:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',0,'','','EUR','released','','04c4e459c9431919e3ed2ff1f6b712df52be354c50fccf576b444ead7a35c615');
INSERT INTO "customer_order" VALUES('B-CANCEL','phone','2026-03-02 08:03:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',0,'','','EUR','cancelled','changed her mind','4ac29afa0c85eecf5ca1719dfc188c8fa246d60407940957b450140266e340ee');
INSERT INTO "customer_order" VALUES('B-HALF','phone','2026-03-02 08:04:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',0,'','','EUR','allocated','','0d71a8a22cab7acdc01b05cc9e49dd43e16b42e444bbb4883a5b9b4e77b466ea');
INSERT INTO "customer_order" VALUES('B-HELD','phone','2026-03-02 08:05:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',0,'','','EUR','held','address unclear','201865c2b3d0c06f66d211fe0a9126beeda2c8aa9ba6f5d479c3c1c6dd080c6c');
INSERT INTO "customer_order" VALUES('B-CHECKED','phone','2026-03-02 08:06:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',0,'','','EUR','picked','','58a532f3f274d026f77d07d3c9ab185960d32009753537ced1ec4a31918544fe');
INSERT INTO "customer_order" VALUES('B-BOXED','phone','2026-03-02 08:07:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',0,'','','EUR','checked','','e86cc9c4648a40810d622e4f5923098db77d8f8d2cf520cca111bdb968e39f08');
INSERT INTO "customer_order" VALUES('B-SEALED','phone','2026-03-02 08:08:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',0,'','','EUR','packed','','c712f03ea3eb6645b9b27d7a0c4f31df80ca8e3a2916da8f4013f94e9d08a6ad');
INSERT INTO "customer_order" VALUES('C-NEW','phone','2026-03-02 08:20:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',0,'','','EUR','allocated','','5d57c46c31f21e546c6b25484dfc676f91211c44dce9f99b6fac439172315030');
INSERT INTO "customer_order" VALUES('C-DONE','phone','2026-03-02 08:21:00.000000','Invented Person','','Sample Street 1','Sampleton','','','DE','','','road',1,'','','EUR','held','waits to be complete','fdfbd7d9a592ee5afe323f72049d6d7c361c8532bacdedb7f5e054c98c00d868');
CREATE TABLE hazard_review (
	hazards VARCHAR NOT NULL, 
	reason VARCHAR NOT NULL, 
	package_number VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	id INTEGER NOT NULL, 
	CONSTRAINT pk_hazard_review PRIMARY KEY (id), 
	CONSTRAINT fk_hazard_review_package_number FOREIGN KEY(package_number) REFERENCES package (number)
);
CREATE TABLE identifier (
	number VARCHAR NOT NULL, 
	package_number VARCHAR NOT NULL, 
	range_code VARCHAR NOT NULL, 
	serial INTEGER NOT NULL, 
	issued_at DATETIME NOT NULL, 
	CONSTRAINT pk_identifier PRIMARY KEY (number, package_number), 
	CONSTRAINT fk_identifier_package_number FOREIGN KEY(package_number) REFERENCES package (number), 
	CONSTRAINT fk_identifier_range_code FOREIGN KEY(range_code) REFERENCES identifier_range (code)
);
CREATE TABLE identifier_range (
	code VARCHAR NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	service_code VARCHAR NOT NULL, 
	prefix VARCHAR NOT NULL, 
	country VARCHAR NOT NULL, 
	first INTEGER NOT NULL, 
	last INTEGER NOT NULL, 
	given_on DATE NOT NULL, 
	CONSTRAINT pk_identifier_range PRIMARY KEY (code), 
	CONSTRAINT ck_identifier_range_kind_word CHECK (kind IN ('sscc', 's10')), 
	CONSTRAINT ck_identifier_range_range_order CHECK (first <= last)
);
CREATE TABLE imported_file (
	digest VARCHAR NOT NULL, 
	name VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	CONSTRAINT pk_imported_file PRIMARY KEY (digest), 
	CONSTRAINT ck_imported_file_digest_length CHECK (length(digest) = 64)
);
CREATE TABLE job (
	number VARCHAR NOT NULL, 
	part_number VARCHAR NOT NULL, 
	supply VARCHAR(20) NOT NULL, 
	supplier VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	booked_pieces INTEGER NOT NULL, 
	due DATETIME, 
	day DATE NOT NULL, 
	reason VARCHAR NOT NULL, 
	is_closed BOOLEAN NOT NULL, 
	CONSTRAINT pk_job PRIMARY KEY (number), 
	CONSTRAINT ck_job_supply_word CHECK (supply IN ('make', 'buy')), 
	CONSTRAINT ck_job_booked_pieces_range CHECK (booked_pieces BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_job_pieces_range CHECK (pieces BETWEEN 1 AND 999999999), 
	CONSTRAINT fk_job_part_number FOREIGN KEY(part_number) REFERENCES part (number)
);
CREATE TABLE journal_entry (
	person VARCHAR NOT NULL, 
	event VARCHAR NOT NULL, 
	subject VARCHAR NOT NULL, 
	particulars VARCHAR NOT NULL, 
	is_simulated BOOLEAN NOT NULL, 
	id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	CONSTRAINT pk_journal_entry PRIMARY KEY (id)
);
INSERT INTO "journal_entry" VALUES('ann','kit set','KIT','{"parts": {"BALL": 10, "GEAR": 2}}',0,1,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','A-SENT','{"lines": 2, "pieces": 25, "source": "phone"}',0,2,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','A-KIT','{"lines": 1, "pieces": 2, "source": "phone"}',0,3,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','A-SHORT','{"lines": 2, "pieces": 105, "source": "phone"}',0,4,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','walks planned','2026-03-02','{"bags": 6, "length_mm": 2000, "seed": 0, "walks": 1}',0,5,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','walk released','W2603020001','{"orders": ["A-KIT", "A-SENT", "A-SHORT"]}',0,6,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag checked','B2603020002','{"causes": [], "reason": "counted by hand: 20 pieces, as ordered", "verdict": "passed"}',0,7,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag checked','B2603020005','{"causes": [], "reason": "counted by hand: 5 pieces, as ordered", "verdict": "passed"}',0,8,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','boxes chosen','A-SENT','{"fewest": 1, "fill": ["0.002"], "is_proven": true, "packages": ["P2603020001"]}',0,9,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','package sealed','P2603020001','{"causes": [], "findings": [], "photo": "", "reason": "weighs 63.4 g, inside 62.5 to 64.3 g", "verdict": "passed"}',0,10,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','manifest closed','M2603020001','{"packages": 1, "weight_g": "63.4"}',0,11,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag checked','B2603020001','{"causes": [], "reason": "counted by hand: 20 pieces, as ordered", "verdict": "passed"}',0,12,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag checked','B2603020004','{"causes": [], "reason": "counted by hand: 4 pieces, as ordered", "verdict": "passed"}',0,13,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','boxes chosen','A-KIT','{"fewest": 1, "fill": ["0.002"], "is_proven": true, "packages": ["P2603020002"]}',0,14,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','package sealed','P2603020002','{"causes": [], "findings": [], "photo": "", "reason": "weighs 74.2 g, inside 73.3 to 75.1 g", "verdict": "passed"}',0,15,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','manifest closed','M2603020002','{"packages": 1, "weight_g": "74.2"}',0,16,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag checked','B2603020003','{"causes": [], "reason": "counted by hand: 5 pieces, as ordered", "verdict": "passed"}',0,17,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag checked','B2603020006','{"causes": [], "reason": "counted by hand: 85 pieces, as ordered", "verdict": "passed"}',0,18,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','boxes chosen','A-SHORT','{"fewest": 1, "fill": ["0.006"], "is_proven": true, "packages": ["P2603020003"]}',0,19,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','package sealed','P2603020003','{"causes": [], "findings": [], "photo": "", "reason": "weighs 93.8 g, inside 92.9 to 94.7 g", "verdict": "passed"}',0,20,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','manifest closed','M2603020003','{"packages": 1, "weight_g": "93.8"}',0,21,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','pieces returned','Y2603020001','{"order": "A-SENT", "outcome": "booked back", "part": "BALL", "pieces": 3, "reason": "too many"}',0,22,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','pieces returned','Y2603020002','{"order": "A-SENT", "outcome": "scrapped", "part": "NUT", "pieces": 1, "reason": "bent"}',0,23,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','package voided','P2603020002','{"manifest": "M2603020002", "reason": "missed the van", "replaced_by": "P2603020004"}',0,24,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','stock received','bin-NUT','{"after": 40, "before": 0, "why": "note 7"}',0,25,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','stock rejected','bin-BALL','{"after": 356, "before": 358, "why": "rust"}',0,26,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','B-CANCEL','{"lines": 1, "pieces": 30, "source": "phone"}',0,27,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','B-HALF','{"lines": 1, "pieces": 60, "source": "phone"}',0,28,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','B-HELD','{"lines": 1, "pieces": 8, "source": "phone"}',0,29,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','B-CHECKED','{"lines": 2, "pieces": 15, "source": "phone"}',0,30,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','B-BOXED','{"lines": 1, "pieces": 7, "source": "phone"}',0,31,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','B-SEALED','{"lines": 1, "pieces": 6, "source": "phone"}',0,32,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','walks planned','2026-03-02','{"bags": 8, "length_mm": 2000, "seed": 0, "walks": 1}',0,33,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','walk released','W2603020002','{"orders": ["A-SHORT", "B-BOXED", "B-CANCEL", "B-CHECKED", "B-HALF", "B-HELD", "B-SEALED"]}',0,34,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag checked','B2603020009','{"causes": [], "reason": "counted by hand: 12 pieces, as ordered", "verdict": "passed"}',0,35,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag checked','B2603020014','{"causes": [], "reason": "counted by hand: 3 pieces, as ordered", "verdict": "passed"}',0,36,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag checked','B2603020007','{"causes": [], "reason": "counted by hand: 7 pieces, as ordered", "verdict": "passed"}',0,37,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag checked','B2603020012','{"causes": [], "reason": "counted by hand: 6 pieces, as ordered", "verdict": "passed"}',0,38,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','boxes chosen','B-BOXED','{"fewest": 1, "fill": ["0.000"], "is_proven": true, "packages": ["P2603020005"]}',0,39,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','boxes chosen','B-SEALED','{"fewest": 1, "fill": ["0.000"], "is_proven": true, "packages": ["P2603020006"]}',0,40,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','package sealed','P2603020006','{"causes": [], "findings": [], "photo": "", "reason": "weighs 59.3 g, inside 58.4 to 60.2 g", "verdict": "passed"}',0,41,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag pulled','B2603020008','{"order": "B-CANCEL", "pieces": 30, "reason": "changed her mind", "was": "planned"}',0,42,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order cancelled','B-CANCEL','{"from": "released", "reason": "changed her mind", "to": "cancelled"}',0,43,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag put back','B2603020008','{"bin": "bin-BALL", "pieces": 30, "pulled": 30}',0,44,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','bag pulled','B2603020010','{"order": "B-HALF", "pieces": 60, "reason": "called", "was": "planned"}',0,45,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order changed','B-HALF','{"lines": {"1": [60, 25]}, "reason": "called"}',0,46,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order held','B-HELD','{"from": "released", "reason": "address unclear", "to": "held"}',0,47,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','C-NEW','{"lines": 2, "pieces": 44, "source": "phone"}',0,48,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order received','C-DONE','{"lines": 1, "pieces": 1, "source": "phone"}',0,49,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','order changed','B-CHECKED','{"lines": {"1": [12, 30]}, "reason": "wants more"}',0,50,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','walks planned','2026-03-02','{"bags": 4, "length_mm": 1000, "seed": 0, "walks": 1}',0,51,'2026-03-02 08:00:00.000000');
INSERT INTO "journal_entry" VALUES('ann','walks planned','2026-03-02','{"bags": 3, "length_mm": 1000, "seed": 0, "walks": 1}',0,52,'2026-03-02 08:00:00.000000');
CREATE TABLE kit_part (
	kit_number VARCHAR NOT NULL, 
	part_number VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	CONSTRAINT pk_kit_part PRIMARY KEY (kit_number, part_number), 
	CONSTRAINT ck_kit_part_not_itself CHECK (kit_number <> part_number), 
	CONSTRAINT ck_kit_part_pieces_range CHECK (pieces BETWEEN 1 AND 999999), 
	CONSTRAINT fk_kit_part_kit_number FOREIGN KEY(kit_number) REFERENCES part (number), 
	CONSTRAINT fk_kit_part_part_number FOREIGN KEY(part_number) REFERENCES part (number)
);
INSERT INTO "kit_part" VALUES('KIT','BALL',10);
INSERT INTO "kit_part" VALUES('KIT','GEAR',2);
CREATE TABLE manifest (
	number VARCHAR NOT NULL, 
	service_code VARCHAR NOT NULL, 
	day DATE NOT NULL, 
	state VARCHAR(20) NOT NULL, 
	closed_at DATETIME, 
	closed_by VARCHAR NOT NULL, 
	packages INTEGER NOT NULL, 
	weight_g BIGINT NOT NULL, 
	CONSTRAINT pk_manifest PRIMARY KEY (number), 
	CONSTRAINT ck_manifest_closed_has_time CHECK (state = 'open' OR closed_at IS NOT NULL), 
	CONSTRAINT ck_manifest_state_word CHECK (state IN ('open', 'closed')), 
	CONSTRAINT ck_manifest_packages_range CHECK (packages BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_manifest_weight_g_not_negative CHECK (weight_g >= 0 AND weight_g < 1e18)
);
INSERT INTO "manifest" VALUES('M2603020001','road','2026-03-02','closed','2026-03-02 08:00:00.000000','ann',1,63400000);
INSERT INTO "manifest" VALUES('M2603020002','road','2026-03-02','closed','2026-03-02 08:00:00.000000','ann',1,74200000);
INSERT INTO "manifest" VALUES('M2603020003','road','2026-03-02','closed','2026-03-02 08:00:00.000000','ann',1,93800000);
CREATE TABLE manifest_copy (
	manifest_number VARCHAR NOT NULL, 
	sheet VARCHAR NOT NULL, 
	advices VARCHAR NOT NULL, 
	paper VARCHAR(20) NOT NULL, 
	printer_dpi INTEGER NOT NULL, 
	CONSTRAINT pk_manifest_copy PRIMARY KEY (manifest_number), 
	CONSTRAINT ck_manifest_copy_paper_word CHECK (paper IN ('A4', 'Letter')), 
	CONSTRAINT fk_manifest_copy_manifest_number FOREIGN KEY(manifest_number) REFERENCES manifest (number)
);
INSERT INTO "manifest_copy" VALUES('M2603020001','{"document_number":"M2603020001","shop_name":"Shop (invented)","day":"2026-03-02","notice":"","language":"en","service":"Road (invented)","cut_off":"16:30:00","from_lines":["Shop (invented)","1 Sample Lane","L- SAMPLETON","LUXEMBOURG"],"rows":[{"package_number":"P2603020001","order_number":"A-SENT","consignee":"Invented Person","town":"Sampleton","post_code":"","country":"DE","gross_g":"63.4","flags":""}],"state_sentence":"Closed 2026-03-02 08:00 UTC by ann.","declaration":"Handed over: 1 package, counted by both sides.","cautions":[]}','[{"number":"M2603020001-001","issued":"2026-03-02T08:00:00Z","order_number":"A-SENT","seller":{"name":"Shop (invented)","address_lines":["1 Sample Lane"],"city":"Sampleton","postal_code":"","country":"LU","region":"","contact_name":"","telephone":"","email":"","gln":""},"consignee":{"name":"Invented Person","address_lines":["Sample Street 1"],"city":"Sampleton","postal_code":"","country":"DE","region":"","contact_name":"","telephone":"","email":"","gln":""},"lines":[{"number":1,"order_line":"1","part_number":"BALL","description":"Invented BALL","ordered_pieces":20,"despatched_pieces":20,"buyer_part_number":"","outstanding_reason":"","hs_code":"","origin":""},{"number":2,"order_line":"2","part_number":"NUT","description":"Invented NUT","ordered_pieces":5,"despatched_pieces":5,"buyer_part_number":"","outstanding_reason":"","hs_code":"","origin":""}],"packages":[{"number":"P2603020001","gross_g":63,"contents":[[1,20],[2,5]],"sides_mm":[160,110,60],"sscc":"","tracking_number":""}],"buyer":null,"customer_reference":"","service":"Road (invented)","note":""}]','A4',300);
INSERT INTO "manifest_copy" VALUES('M2603020002','{"document_number":"M2603020002","shop_name":"Shop (invented)","day":"2026-03-02","notice":"","language":"en","service":"Road (invented)","cut_off":"16:30:00","from_lines":["Shop (invented)","1 Sample Lane","L- SAMPLETON","LUXEMBOURG"],"rows":[{"package_number":"P2603020002","order_number":"A-KIT","consignee":"Invented Person","town":"Sampleton","post_code":"","country":"DE","gross_g":"74.2","flags":""}],"state_sentence":"Closed 2026-03-02 08:00 UTC by ann.","declaration":"Handed over: 1 package, counted by both sides.","cautions":[]}','[{"number":"M2603020002-001","issued":"2026-03-02T08:00:00Z","order_number":"A-KIT","seller":{"name":"Shop (invented)","address_lines":["1 Sample Lane"],"city":"Sampleton","postal_code":"","country":"LU","region":"","contact_name":"","telephone":"","email":"","gln":""},"consignee":{"name":"Invented Person","address_lines":["Sample Street 1"],"city":"Sampleton","postal_code":"","country":"DE","region":"","contact_name":"","telephone":"","email":"","gln":""},"lines":[{"number":1,"order_line":"1","part_number":"KIT","description":"Invented kit","ordered_pieces":2,"despatched_pieces":24,"buyer_part_number":"","outstanding_reason":"","hs_code":"","origin":""}],"packages":[{"number":"P2603020002","gross_g":74,"contents":[[1,24]],"sides_mm":[160,110,60],"sscc":"","tracking_number":""}],"buyer":null,"customer_reference":"","service":"Road (invented)","note":""}]','A4',300);
INSERT INTO "manifest_copy" VALUES('M2603020003','{"document_number":"M2603020003","shop_name":"Shop (invented)","day":"2026-03-02","notice":"","language":"en","service":"Road (invented)","cut_off":"16:30:00","from_lines":["Shop (invented)","1 Sample Lane","L- SAMPLETON","LUXEMBOURG"],"rows":[{"package_number":"P2603020003","order_number":"A-SHORT","consignee":"Invented Person","town":"Sampleton","post_code":"","country":"DE","gross_g":"93.8","flags":""}],"state_sentence":"Closed 2026-03-02 08:00 UTC by ann.","declaration":"Handed over: 1 package, counted by both sides.","cautions":[]}','[{"number":"M2603020003-001","issued":"2026-03-02T08:00:00Z","order_number":"A-SHORT","seller":{"name":"Shop (invented)","address_lines":["1 Sample Lane"],"city":"Sampleton","postal_code":"","country":"LU","region":"","contact_name":"","telephone":"","email":"","gln":""},"consignee":{"name":"Invented Person","address_lines":["Sample Street 1"],"city":"Sampleton","postal_code":"","country":"DE","region":"","contact_name":"","telephone":"","email":"","gln":""},"lines":[{"number":1,"order_line":"1","part_number":"NUT","description":"Invented NUT","ordered_pieces":100,"despatched_pieces":85,"buyer_part_number":"","outstanding_reason":"to follow","hs_code":"","origin":""},{"number":2,"order_line":"2","part_number":"BALL","description":"Invented BALL","ordered_pieces":5,"despatched_pieces":5,"buyer_part_number":"","outstanding_reason":"","hs_code":"","origin":""}],"packages":[{"number":"P2603020003","gross_g":94,"contents":[[1,85],[2,5]],"sides_mm":[160,110,60],"sscc":"","tracking_number":""}],"buyer":null,"customer_reference":"","service":"Road (invented)","note":""}]','A4',300);
CREATE TABLE manifest_void (
	package_number VARCHAR NOT NULL, 
	manifest_number VARCHAR NOT NULL, 
	replaced_by VARCHAR NOT NULL, 
	reason VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	CONSTRAINT pk_manifest_void PRIMARY KEY (package_number), 
	CONSTRAINT fk_manifest_void_manifest_number FOREIGN KEY(manifest_number) REFERENCES manifest (number), 
	CONSTRAINT fk_manifest_void_package_number FOREIGN KEY(package_number) REFERENCES package (number), 
	CONSTRAINT fk_manifest_void_replaced_by FOREIGN KEY(replaced_by) REFERENCES package (number)
);
INSERT INTO "manifest_void" VALUES('P2603020002','M2603020002','P2603020004','missed the van','2026-03-02 08:00:00.000000','ann');
CREATE TABLE order_charge (
	order_number VARCHAR NOT NULL, 
	charge_no INTEGER NOT NULL, 
	code VARCHAR NOT NULL, 
	says VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	amount_minor INTEGER NOT NULL, 
	currency VARCHAR NOT NULL, 
	CONSTRAINT pk_order_charge PRIMARY KEY (order_number, charge_no), 
	CONSTRAINT ck_order_charge_amount_minor_range CHECK (amount_minor BETWEEN -999999999 AND 999999999), 
	CONSTRAINT ck_order_charge_pieces_range CHECK (pieces BETWEEN -999999999 AND 999999999)
);
CREATE TABLE order_line (
	order_number VARCHAR NOT NULL, 
	line_no INTEGER NOT NULL, 
	part_number VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	unit_price_minor INTEGER NOT NULL, 
	short_pieces INTEGER NOT NULL, 
	cancelled_pieces INTEGER NOT NULL, short_reason VARCHAR DEFAULT '' NOT NULL, 
	CONSTRAINT pk_order_line PRIMARY KEY (order_number, line_no), 
	CONSTRAINT ck_order_line_cancelled_pieces_range CHECK (cancelled_pieces BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_order_line_pieces_range CHECK (pieces BETWEEN 1 AND 999999), 
	CONSTRAINT ck_order_line_short_at_most_ordered CHECK (short_pieces + cancelled_pieces <= pieces), 
	CONSTRAINT ck_order_line_short_pieces_range CHECK (short_pieces BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_order_line_unit_price_minor_range CHECK (unit_price_minor BETWEEN 0 AND 999999999), 
	CONSTRAINT fk_order_line_order_number FOREIGN KEY(order_number) REFERENCES customer_order (number), 
	CONSTRAINT fk_order_line_part_number FOREIGN KEY(part_number) REFERENCES part (number)
);
INSERT INTO "order_line" VALUES('A-SENT',1,'BALL',20,10,0,0,'');
INSERT INTO "order_line" VALUES('A-SENT',2,'NUT',5,10,0,0,'');
INSERT INTO "order_line" VALUES('A-KIT',1,'KIT',2,10,0,0,'');
INSERT INTO "order_line" VALUES('A-SHORT',1,'NUT',100,10,0,0,'');
INSERT INTO "order_line" VALUES('A-SHORT',2,'BALL',5,10,0,0,'');
INSERT INTO "order_line" VALUES('B-CANCEL',1,'BALL',30,10,0,0,'');
INSERT INTO "order_line" VALUES('B-HALF',1,'BALL',60,10,0,35,'');
INSERT INTO "order_line" VALUES('B-HELD',1,'BALL',8,10,0,0,'');
INSERT INTO "order_line" VALUES('B-CHECKED',1,'BALL',30,10,0,0,'');
INSERT INTO "order_line" VALUES('B-CHECKED',2,'NUT',3,10,0,0,'');
INSERT INTO "order_line" VALUES('B-BOXED',1,'BALL',7,10,0,0,'');
INSERT INTO "order_line" VALUES('B-SEALED',1,'BALL',6,10,0,0,'');
INSERT INTO "order_line" VALUES('C-NEW',1,'BALL',4,10,0,0,'');
INSERT INTO "order_line" VALUES('C-NEW',2,'GEAR',40,10,35,0,'35 of 40 short: 5 were free at its turn; nobody was served before');
INSERT INTO "order_line" VALUES('C-DONE',1,'GEAR',1,10,1,0,'1 of 1 short: 0 were free at its turn; served before: C-NEW (5)');
CREATE TABLE order_mapping (
	source VARCHAR NOT NULL, 
	mapping_json VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	CONSTRAINT pk_order_mapping PRIMARY KEY (source)
);
CREATE TABLE package (
	number VARCHAR NOT NULL, 
	order_number VARCHAR NOT NULL, 
	service_code VARCHAR NOT NULL, 
	box_type VARCHAR NOT NULL, 
	state VARCHAR(20) NOT NULL, 
	expected_g BIGINT NOT NULL, 
	lower_g BIGINT NOT NULL, 
	upper_g BIGINT NOT NULL, 
	gross_g BIGINT, 
	visible_from_g BIGINT NOT NULL, 
	manifest_number VARCHAR NOT NULL, 
	sealed_at DATETIME, photo_path VARCHAR DEFAULT '' NOT NULL, scale_code VARCHAR DEFAULT '' NOT NULL, 
	CONSTRAINT pk_package PRIMARY KEY (number), 
	CONSTRAINT ck_package_state_word CHECK (state IN ('planned', 'stop', 'sealed', 'shipped')), 
	CONSTRAINT ck_package_expected_g_above_zero CHECK (expected_g > 0 AND expected_g < 1e18), 
	CONSTRAINT ck_package_window_order CHECK (lower_g <= upper_g), 
	CONSTRAINT fk_package_order_number FOREIGN KEY(order_number) REFERENCES customer_order (number)
);
INSERT INTO "package" VALUES('P2603020001','A-SENT','road','box','shipped',63400000,62500000,64300000,63400000,1900000,'M2603020001','2026-03-02 08:00:00.000000','','P');
INSERT INTO "package" VALUES('P2603020002','A-KIT','road','box','shipped',74200000,73300000,75100000,74200000,1900000,'M2603020002','2026-03-02 08:00:00.000000','','P');
INSERT INTO "package" VALUES('P2603020003','A-SHORT','road','box','shipped',93800000,92900000,94700000,93800000,1900000,'M2603020003','2026-03-02 08:00:00.000000','','P');
INSERT INTO "package" VALUES('P2603020004','A-KIT','road','box','planned',74200000,73300000,75100000,NULL,1900000,'',NULL,'','P');
INSERT INTO "package" VALUES('P2603020005','B-BOXED','road','box','planned',59400000,58500000,60300000,NULL,1900000,'',NULL,'','P');
INSERT INTO "package" VALUES('P2603020006','B-SEALED','road','box','sealed',59300000,58400000,60200000,59300000,1900000,'','2026-03-02 08:00:00.000000','','P');
CREATE TABLE part (
	number VARCHAR NOT NULL, 
	description VARCHAR NOT NULL, 
	family VARCHAR NOT NULL, 
	size VARCHAR NOT NULL, 
	finish VARCHAR NOT NULL, 
	bulk_volume_mm3 FLOAT NOT NULL, 
	longest_mm INTEGER NOT NULL, 
	supply VARCHAR(20) NOT NULL, 
	supplier VARCHAR NOT NULL, 
	hazards VARCHAR NOT NULL, 
	customs_description VARCHAR NOT NULL, 
	hs_code VARCHAR NOT NULL, 
	origin VARCHAR NOT NULL, 
	price_minor INTEGER NOT NULL, 
	currency VARCHAR NOT NULL, 
	photo_path VARCHAR NOT NULL, 
	is_retired BOOLEAN NOT NULL, 
	CONSTRAINT pk_part PRIMARY KEY (number), 
	CONSTRAINT ck_part_supply_word CHECK (supply IN ('make', 'buy')), 
	CONSTRAINT ck_part_bulk_volume_mm3_above_zero CHECK (bulk_volume_mm3 > 0 AND bulk_volume_mm3 < 1e18), 
	CONSTRAINT ck_part_longest_mm_range CHECK (longest_mm BETWEEN 1 AND 999999999), 
	CONSTRAINT ck_part_price_minor_range CHECK (price_minor BETWEEN 0 AND 999999999)
);
INSERT INTO "part" VALUES('BALL','Invented BALL','ball','','',50.0,5,'buy','Invented Supplier','','','','',10,'EUR','',0);
INSERT INTO "part" VALUES('GEAR','Invented GEAR','gear','','',50.0,5,'make','Invented Supplier','','','','',10,'EUR','',0);
INSERT INTO "part" VALUES('NUT','Invented NUT','nut','','',50.0,5,'buy','Invented Supplier','','','','',10,'EUR','',0);
INSERT INTO "part" VALUES('KIT','Invented kit','kit','','',900.0,30,'make','','','','','',990,'EUR','',0);
CREATE TABLE "plan" (
	day DATE NOT NULL, 
	wave INTEGER NOT NULL, 
	length_mm INTEGER NOT NULL, 
	one_by_one_mm INTEGER NOT NULL, 
	bound_mm INTEGER, 
	bound_is_closed BOOLEAN NOT NULL, 
	seed INTEGER NOT NULL, 
	CONSTRAINT pk_plan PRIMARY KEY (day, wave), 
	CONSTRAINT ck_plan_bound_mm_not_negative CHECK (bound_mm >= 0 AND bound_mm < 1e18), 
	CONSTRAINT ck_plan_length_mm_not_negative CHECK (length_mm >= 0 AND length_mm < 1e18), 
	CONSTRAINT ck_plan_one_by_one_mm_not_negative CHECK (one_by_one_mm >= 0 AND one_by_one_mm < 1e18), 
	CONSTRAINT ck_plan_wave_range CHECK (wave BETWEEN 1 AND 9999)
);
INSERT INTO "plan" VALUES('2026-03-02',1,2000,5000,NULL,0,0);
INSERT INTO "plan" VALUES('2026-03-02',2,2000,4000,NULL,0,0);
INSERT INTO "plan" VALUES('2026-03-02',3,1000,1000,NULL,0,0);
INSERT INTO "plan" VALUES('2026-03-02',4,1000,1000,NULL,0,0);
CREATE TABLE price (
	service_code VARCHAR NOT NULL, 
	valid_from DATE NOT NULL, 
	zone VARCHAR NOT NULL, 
	up_to_g INTEGER NOT NULL, 
	price_minor INTEGER NOT NULL, 
	currency VARCHAR NOT NULL, 
	CONSTRAINT pk_price PRIMARY KEY (service_code, valid_from, zone, up_to_g), 
	CONSTRAINT ck_price_price_minor_range CHECK (price_minor BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_price_up_to_g_range CHECK (up_to_g BETWEEN 1 AND 999999999)
);
CREATE TABLE pulled_bag (
	bag_code VARCHAR NOT NULL, 
	order_number VARCHAR NOT NULL, 
	line_no INTEGER NOT NULL, 
	part_number VARCHAR NOT NULL, 
	lot VARCHAR NOT NULL, 
	bin_code VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	walk_number VARCHAR NOT NULL, 
	cart_position INTEGER NOT NULL, 
	was VARCHAR NOT NULL, 
	reason VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	put_back_at DATETIME, 
	put_back_pieces INTEGER, 
	CONSTRAINT pk_pulled_bag PRIMARY KEY (bag_code), 
	CONSTRAINT ck_pulled_bag_pieces_range CHECK (pieces BETWEEN 1 AND 999999999), 
	CONSTRAINT ck_pulled_bag_put_back_pieces_range CHECK (put_back_pieces BETWEEN 0 AND 999999999)
);
INSERT INTO "pulled_bag" VALUES('B2603020008','B-CANCEL',1,'BALL','','bin-BALL',30,'W2603020002',3,'planned','changed her mind','2026-03-02 08:00:00.000000','ann','2026-03-02 08:00:00.000000',30);
INSERT INTO "pulled_bag" VALUES('B2603020010','B-HALF',1,'BALL','','bin-BALL',60,'W2603020002',5,'planned','called','2026-03-02 08:00:00.000000','ann',NULL,NULL);
CREATE TABLE recount (
	number VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	bag_code VARCHAR NOT NULL, 
	order_number VARCHAR NOT NULL, 
	walk_number VARCHAR NOT NULL, 
	part_number VARCHAR NOT NULL, 
	bin_code VARCHAR NOT NULL, 
	scale_code VARCHAR NOT NULL, 
	sent_back_for VARCHAR(20) NOT NULL, 
	which INTEGER NOT NULL, 
	reason VARCHAR NOT NULL, 
	causes_json VARCHAR NOT NULL, 
	likely_cause VARCHAR NOT NULL, 
	other_part VARCHAR NOT NULL, 
	pieces_off INTEGER NOT NULL, 
	state VARCHAR(20) NOT NULL, 
	is_simulated BOOLEAN NOT NULL, 
	CONSTRAINT pk_recount PRIMARY KEY (number), 
	CONSTRAINT ck_recount_sent_back_for_word CHECK (sent_back_for IN ('weight', 'count', 'look', 'damage')), 
	CONSTRAINT ck_recount_state_word CHECK (state IN ('open', 'done', 'undone')), 
	CONSTRAINT ck_recount_which_range CHECK (which BETWEEN 1 AND 999999999), 
	CONSTRAINT ck_recount_pieces_off_range CHECK (pieces_off BETWEEN -999999999 AND 999999999)
);
CREATE TABLE return_match (
	number VARCHAR NOT NULL, 
	line_no INTEGER NOT NULL, 
	order_number VARCHAR NOT NULL, 
	order_line_no INTEGER NOT NULL, 
	pieces INTEGER NOT NULL, 
	cancelled_pieces INTEGER NOT NULL, 
	CONSTRAINT pk_return_match PRIMARY KEY (number, line_no, order_number, order_line_no), 
	CONSTRAINT ck_return_match_cancelled_at_most_pieces CHECK (cancelled_pieces <= pieces), 
	CONSTRAINT ck_return_match_cancelled_pieces_range CHECK (cancelled_pieces BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_return_match_pieces_range CHECK (pieces BETWEEN 1 AND 999999999), 
	CONSTRAINT fk_return_match_order_number FOREIGN KEY(order_number) REFERENCES customer_order (number)
);
CREATE TABLE return_notice (
	number VARCHAR NOT NULL, 
	line_no INTEGER NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	part_number VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	country VARCHAR NOT NULL, 
	received_at DATETIME NOT NULL, 
	amount_minor INTEGER NOT NULL, 
	CONSTRAINT pk_return_notice PRIMARY KEY (number, line_no), 
	CONSTRAINT ck_return_notice_kind_word CHECK (kind IN ('return', 'correction')), 
	CONSTRAINT ck_return_notice_amount_minor_range CHECK (amount_minor BETWEEN -999999999 AND 999999999), 
	CONSTRAINT ck_return_notice_pieces_range CHECK (pieces BETWEEN 1 AND 999999999)
);
CREATE TABLE returned_pieces (
	number VARCHAR NOT NULL, 
	order_number VARCHAR NOT NULL, 
	line_no INTEGER NOT NULL, 
	part_number VARCHAR NOT NULL, 
	bin_code VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	outcome VARCHAR(20) NOT NULL, 
	reason VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	CONSTRAINT pk_returned_pieces PRIMARY KEY (number), 
	CONSTRAINT ck_returned_pieces_outcome_word CHECK (outcome IN ('booked back', 'scrapped')), 
	CONSTRAINT ck_returned_pieces_pieces_range CHECK (pieces BETWEEN 1 AND 999999999), 
	CONSTRAINT fk_returned_pieces_order_number FOREIGN KEY(order_number) REFERENCES customer_order (number)
);
INSERT INTO "returned_pieces" VALUES('Y2603020001','A-SENT',1,'BALL','bin-BALL',3,'booked back','too many','2026-03-02 08:00:00.000000','ann');
INSERT INTO "returned_pieces" VALUES('Y2603020002','A-SENT',2,'NUT','bin-NUT',1,'scrapped','bent','2026-03-02 08:00:00.000000','ann');
CREATE TABLE room_element (
	kind VARCHAR(20) NOT NULL, 
	name VARCHAR NOT NULL, 
	x_mm INTEGER NOT NULL, 
	y_mm INTEGER NOT NULL, 
	from_name VARCHAR NOT NULL, 
	to_name VARCHAR NOT NULL, 
	length_mm INTEGER NOT NULL, 
	is_one_way BOOLEAN NOT NULL, 
	CONSTRAINT pk_room_element PRIMARY KEY (kind, name), 
	CONSTRAINT ck_room_element_kind_word CHECK (kind IN ('aisle', 'cross-aisle', 'bench', 'corner', 'passage')), 
	CONSTRAINT ck_room_element_length_mm_not_negative CHECK (length_mm >= 0 AND length_mm < 1e18), 
	CONSTRAINT ck_room_element_x_mm_not_negative CHECK (x_mm >= 0 AND x_mm < 1e18), 
	CONSTRAINT ck_room_element_y_mm_not_negative CHECK (y_mm >= 0 AND y_mm < 1e18)
);
INSERT INTO "room_element" VALUES('aisle','1',2000,0,'','',0,0);
INSERT INTO "room_element" VALUES('aisle','2',4000,0,'','',0,0);
INSERT INTO "room_element" VALUES('cross-aisle','front',0,0,'','',0,0);
INSERT INTO "room_element" VALUES('cross-aisle','back',0,9000,'','',0,0);
INSERT INTO "room_element" VALUES('bench','bench',2000,0,'','',0,0);
CREATE TABLE scale (
	code VARCHAR NOT NULL, 
	accuracy_class VARCHAR NOT NULL, 
	e_g BIGINT NOT NULL, 
	d_g BIGINT NOT NULL, 
	max_g BIGINT NOT NULL, 
	min_g BIGINT NOT NULL, 
	repeatability_g FLOAT NOT NULL, 
	use VARCHAR NOT NULL, 
	CONSTRAINT pk_scale PRIMARY KEY (code), 
	CONSTRAINT ck_scale_class_word CHECK (accuracy_class IN ('I', 'II', 'III', 'IIII')), 
	CONSTRAINT ck_scale_interval_order CHECK (d_g <= e_g), 
	CONSTRAINT ck_scale_d_g_above_zero CHECK (d_g > 0 AND d_g < 1e18), 
	CONSTRAINT ck_scale_e_g_above_zero CHECK (e_g > 0 AND e_g < 1e18), 
	CONSTRAINT ck_scale_max_g_above_zero CHECK (max_g > 0 AND max_g < 1e18), 
	CONSTRAINT ck_scale_range_order CHECK (min_g < max_g), 
	CONSTRAINT ck_scale_min_g_not_negative CHECK (min_g >= 0 AND min_g < 1e18), 
	CONSTRAINT ck_scale_repeatability_g_not_negative CHECK (repeatability_g >= 0 AND repeatability_g < 1e18)
);
INSERT INTO "scale" VALUES('S','II',10000,10000,600000000,200000,0.004,'bags');
INSERT INTO "scale" VALUES('P','II',100000,100000,6000000000,5000000,0.0,'packages');
CREATE TABLE scale_standing (
	scale_code VARCHAR NOT NULL, 
	checked_at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	has_passed BOOLEAN NOT NULL, 
	worst_share FLOAT NOT NULL, 
	reason VARCHAR NOT NULL, 
	CONSTRAINT pk_scale_standing PRIMARY KEY (scale_code), 
	CONSTRAINT ck_scale_standing_worst_share_not_negative CHECK (worst_share >= 0 AND worst_share < 1e18)
);
CREATE TABLE sdr_rate (
	currency VARCHAR NOT NULL, 
	as_of DATE NOT NULL, 
	per_sdr VARCHAR NOT NULL, 
	source VARCHAR NOT NULL, 
	CONSTRAINT pk_sdr_rate PRIMARY KEY (currency, as_of)
);
CREATE TABLE service (
	name VARCHAR NOT NULL, 
	countries VARCHAR NOT NULL, 
	cut_off TIME NOT NULL, 
	max_longest_mm INTEGER NOT NULL, 
	max_length_girth_mm INTEGER NOT NULL, 
	refuses VARCHAR NOT NULL, 
	code VARCHAR NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	max_weight_g BIGINT NOT NULL, 
	size_preset VARCHAR DEFAULT '' NOT NULL, 
	collection_days VARCHAR DEFAULT '' NOT NULL, 
	divisor_cm3_per_kg INTEGER DEFAULT '0' NOT NULL, 
	side_rounding VARCHAR(20) DEFAULT 'none' NOT NULL, 
	side_step_mm INTEGER DEFAULT '10' NOT NULL, 
	weight_step_g INTEGER DEFAULT '1' NOT NULL, 
	least_charge_g INTEGER DEFAULT '0' NOT NULL, 
	CONSTRAINT pk_service PRIMARY KEY (code), 
	CONSTRAINT ck_service_kind_word CHECK (kind IN ('parcel', 'postal')), 
	CONSTRAINT ck_service_side_rounding_word CHECK (side_rounding IN ('none', 'up', 'half-up')), 
	CONSTRAINT ck_service_max_weight_g_not_negative CHECK (max_weight_g >= 0 AND max_weight_g < 1e18), 
	CONSTRAINT ck_service_max_longest_mm_not_negative CHECK (max_longest_mm >= 0 AND max_longest_mm < 1e18), 
	CONSTRAINT ck_service_max_length_girth_mm_not_negative CHECK (max_length_girth_mm >= 0 AND max_length_girth_mm < 1e18), 
	CONSTRAINT ck_service_divisor_cm3_per_kg_not_negative CHECK (divisor_cm3_per_kg >= 0 AND divisor_cm3_per_kg < 1e18), 
	CONSTRAINT ck_service_least_charge_g_not_negative CHECK (least_charge_g >= 0 AND least_charge_g < 1e18), 
	CONSTRAINT ck_service_side_step_mm_above_zero CHECK (side_step_mm > 0 AND side_step_mm < 1e18), 
	CONSTRAINT ck_service_weight_step_g_above_zero CHECK (weight_step_g > 0 AND weight_step_g < 1e18)
);
INSERT INTO "service" VALUES('Road (invented)','DE LU','16:30:00.000000',0,0,'','road','parcel',30000000000,'','',0,'none',10,1,0);
INSERT INTO "service" VALUES('Post (invented)','*','14:00:00.000000',0,0,'','post','postal',2000000000,'','',0,'none',10,1,0);
CREATE TABLE settings (
	shop_name VARCHAR NOT NULL, 
	street VARCHAR NOT NULL, 
	city VARCHAR NOT NULL, 
	post_code VARCHAR NOT NULL, 
	region VARCHAR NOT NULL, 
	country VARCHAR NOT NULL, 
	phone VARCHAR NOT NULL, 
	email VARCHAR NOT NULL, 
	notice VARCHAR NOT NULL, 
	time_zone VARCHAR NOT NULL, 
	currency VARCHAR NOT NULL, 
	printer_dpi INTEGER NOT NULL, 
	risk_pass FLOAT NOT NULL, 
	risk_reject FLOAT NOT NULL, 
	most_bags_per_line INTEGER NOT NULL, 
	cart_positions INTEGER NOT NULL, 
	cart_volume_mm3 INTEGER NOT NULL, 
	paper VARCHAR(20) NOT NULL, 
	cart_max_load_g BIGINT NOT NULL, 
	walk_m_per_s FLOAT NOT NULL, 
	pick_seconds_per_line FLOAT NOT NULL, 
	setup_seconds_per_walk FLOAT NOT NULL, 
	lift_caution_g BIGINT NOT NULL, 
	id INTEGER NOT NULL, allocation_rule VARCHAR DEFAULT 'first come' NOT NULL, service_level FLOAT DEFAULT '0.95' NOT NULL, make_days INTEGER DEFAULT '1' NOT NULL, buy_days INTEGER DEFAULT '10' NOT NULL, reach_seconds_by_level VARCHAR DEFAULT '2 1 2 4' NOT NULL, search_seconds_per_line FLOAT DEFAULT '3.0' NOT NULL, check_and_pack_minutes INTEGER DEFAULT '30' NOT NULL, terms_of_delivery VARCHAR DEFAULT 'DAP' NOT NULL, named_place VARCHAR DEFAULT '' NOT NULL, 
	CONSTRAINT pk_settings PRIMARY KEY (id), 
	CONSTRAINT ck_settings_paper_word CHECK (paper IN ('A4', 'Letter')), 
	CONSTRAINT ck_settings_cart_max_load_g_above_zero CHECK (cart_max_load_g > 0 AND cart_max_load_g < 1e18), 
	CONSTRAINT ck_settings_one_row CHECK (id = 1), 
	CONSTRAINT ck_settings_lift_caution_g_above_zero CHECK (lift_caution_g > 0 AND lift_caution_g < 1e18), 
	CONSTRAINT ck_settings_risks_below_half CHECK (risk_pass < 0.5 AND risk_reject < 0.5), 
	CONSTRAINT ck_settings_risk_pass_above_zero CHECK (risk_pass > 0 AND risk_pass < 1e18), 
	CONSTRAINT ck_settings_risk_reject_above_zero CHECK (risk_reject > 0 AND risk_reject < 1e18), 
	CONSTRAINT ck_settings_walk_m_per_s_above_zero CHECK (walk_m_per_s > 0 AND walk_m_per_s < 1e18)
);
INSERT INTO "settings" VALUES('Shop (invented)','1 Sample Lane','Sampleton','','','LU','','','','UTC','EUR',300,0.001,0.005,5,10,60000000,'A4',40000000000,0.8,25.0,180.0,23000000000,1,'first come',0.95,1,10,'2 1 2 4',3.0,30,'DAP','');
CREATE TABLE settlement (
	day DATE NOT NULL, 
	difference VARCHAR NOT NULL, 
	outcome VARCHAR(20) NOT NULL, 
	says VARCHAR NOT NULL, 
	reason VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	CONSTRAINT pk_settlement PRIMARY KEY (day, difference), 
	CONSTRAINT ck_settlement_outcome_word CHECK (outcome IN ('settled', 'carried over'))
);
CREATE TABLE stock_entry (
	pieces INTEGER NOT NULL, 
	reason VARCHAR NOT NULL, 
	source VARCHAR NOT NULL, 
	id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	person VARCHAR NOT NULL, 
	part_number VARCHAR NOT NULL, 
	bin_code VARCHAR NOT NULL, 
	CONSTRAINT pk_stock_entry PRIMARY KEY (id), 
	CONSTRAINT ck_stock_entry_pieces_range CHECK (pieces BETWEEN -999999999 AND 999999999), 
	CONSTRAINT fk_stock_entry_part_number FOREIGN KEY(part_number) REFERENCES part (number)
);
INSERT INTO "stock_entry" VALUES(400,'counted','first count',1,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(9,'counted','first count',2,'2026-03-02 08:00:00.000000','ann','GEAR','bin-GEAR');
INSERT INTO "stock_entry" VALUES(90,'counted','first count',3,'2026-03-02 08:00:00.000000','ann','NUT','bin-NUT');
INSERT INTO "stock_entry" VALUES(-20,'picked','B2603020002',4,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(-5,'picked','B2603020005',5,'2026-03-02 08:00:00.000000','ann','NUT','bin-NUT');
INSERT INTO "stock_entry" VALUES(-20,'picked','B2603020001',6,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(-4,'picked','B2603020004',7,'2026-03-02 08:00:00.000000','ann','GEAR','bin-GEAR');
INSERT INTO "stock_entry" VALUES(-5,'picked','B2603020003',8,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(-85,'picked','B2603020006',9,'2026-03-02 08:00:00.000000','ann','NUT','bin-NUT');
INSERT INTO "stock_entry" VALUES(3,'returned','Y2603020001',10,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(1,'returned','Y2603020002',11,'2026-03-02 08:00:00.000000','ann','NUT','bin-NUT');
INSERT INTO "stock_entry" VALUES(-1,'scrapped','Y2603020002',12,'2026-03-02 08:00:00.000000','ann','NUT','bin-NUT');
INSERT INTO "stock_entry" VALUES(40,'received','note 7',13,'2026-03-02 08:00:00.000000','ann','NUT','bin-NUT');
INSERT INTO "stock_entry" VALUES(-2,'rejected','rust',14,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(-12,'picked','B2603020009',15,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(-3,'picked','B2603020014',16,'2026-03-02 08:00:00.000000','ann','NUT','bin-NUT');
INSERT INTO "stock_entry" VALUES(-7,'picked','B2603020007',17,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(-6,'picked','B2603020012',18,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(-30,'pulled','B2603020008',19,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(30,'put back','B2603020008',20,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
INSERT INTO "stock_entry" VALUES(-60,'pulled','B2603020010',21,'2026-03-02 08:00:00.000000','ann','BALL','bin-BALL');
CREATE TABLE surcharge (
	service_code VARCHAR NOT NULL, 
	valid_from DATE NOT NULL, 
	name VARCHAR NOT NULL, 
	country VARCHAR NOT NULL, 
	post_codes VARCHAR NOT NULL, 
	basis_points INTEGER NOT NULL, 
	amount_minor INTEGER NOT NULL, 
	currency VARCHAR NOT NULL, 
	CONSTRAINT pk_surcharge PRIMARY KEY (service_code, valid_from, name, country, post_codes), 
	CONSTRAINT ck_surcharge_basis_points_range CHECK (basis_points BETWEEN 0 AND 99999), 
	CONSTRAINT ck_surcharge_amount_minor_range CHECK (amount_minor BETWEEN 0 AND 999999999)
);
CREATE TABLE unit_weight (
	part_number VARCHAR NOT NULL, 
	lot VARCHAR NOT NULL, 
	mean_g FLOAT NOT NULL, 
	u_g FLOAT NOT NULL, 
	piece_sd_g FLOAT NOT NULL, 
	sample_pieces INTEGER NOT NULL, 
	source VARCHAR(20) NOT NULL, 
	as_of DATE, piece_sd_source VARCHAR DEFAULT '' NOT NULL, piece_sd_freedom FLOAT, lot_sd_g FLOAT DEFAULT '0' NOT NULL, sampled_at DATETIME, sample_mean_g FLOAT, sample_u_g FLOAT, sample_sd_g FLOAT, learned_n INTEGER DEFAULT '0' NOT NULL, 
	CONSTRAINT pk_unit_weight PRIMARY KEY (part_number, lot), 
	CONSTRAINT ck_unit_weight_source_word CHECK (source IN ('sampled', 'geometry', 'handbook', 'supplier')), 
	CONSTRAINT ck_unit_weight_mean_g_above_zero CHECK (mean_g > 0 AND mean_g < 1e18), 
	CONSTRAINT ck_unit_weight_piece_sd_g_not_negative CHECK (piece_sd_g >= 0 AND piece_sd_g < 1e18), 
	CONSTRAINT ck_unit_weight_sample_pieces_range CHECK (sample_pieces BETWEEN 0 AND 999999999), 
	CONSTRAINT ck_unit_weight_u_g_not_negative CHECK (u_g >= 0 AND u_g < 1e18), 
	CONSTRAINT fk_unit_weight_part_number FOREIGN KEY(part_number) REFERENCES part (number)
);
INSERT INTO "unit_weight" VALUES('BALL','',0.11,2.2e-05,0.00022,100,'sampled',NULL,'',NULL,0.0,NULL,NULL,NULL,NULL,0);
INSERT INTO "unit_weight" VALUES('GEAR','',3.2,0.00064,0.0064,100,'sampled',NULL,'',NULL,0.0,NULL,NULL,NULL,NULL,0);
INSERT INTO "unit_weight" VALUES('NUT','',0.4,8.0e-05,0.0008,100,'sampled',NULL,'',NULL,0.0,NULL,NULL,NULL,NULL,0);
CREATE TABLE walk (
	number VARCHAR NOT NULL, 
	day DATE NOT NULL, 
	length_mm INTEGER NOT NULL, 
	orders INTEGER NOT NULL, 
	stops INTEGER NOT NULL, 
	released_at DATETIME, wave INTEGER DEFAULT '1' NOT NULL, 
	CONSTRAINT pk_walk PRIMARY KEY (number), 
	CONSTRAINT ck_walk_length_mm_not_negative CHECK (length_mm >= 0 AND length_mm < 1e18), 
	CONSTRAINT ck_walk_orders_above_zero CHECK (orders > 0 AND orders < 1e18), 
	CONSTRAINT ck_walk_stops_above_zero CHECK (stops > 0 AND stops < 1e18)
);
INSERT INTO "walk" VALUES('W2603020001','2026-03-02',2000,3,3,'2026-03-02 08:00:00.000000',1);
INSERT INTO "walk" VALUES('W2603020002','2026-03-02',2000,7,2,'2026-03-02 08:00:00.000000',2);
INSERT INTO "walk" VALUES('W2603020004','2026-03-02',1000,2,2,NULL,4);
CREATE TABLE weighing (
	person VARCHAR NOT NULL, 
	scale_code VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	subject VARCHAR NOT NULL, 
	lot VARCHAR NOT NULL, 
	pieces INTEGER NOT NULL, 
	indication_g BIGINT NOT NULL, 
	tare_g BIGINT NOT NULL, 
	verdict VARCHAR(20) NOT NULL, 
	reason VARCHAR NOT NULL, 
	is_simulated BOOLEAN NOT NULL, 
	id INTEGER NOT NULL, 
	part_number VARCHAR DEFAULT '' NOT NULL, 
	was_counted BOOLEAN DEFAULT 0 NOT NULL, 
	CONSTRAINT pk_weighing PRIMARY KEY (id), 
	CONSTRAINT ck_weighing_kind_word CHECK (kind IN ('bag', 'package', 'sample', 'check weight', 'bulk')), 
	CONSTRAINT ck_weighing_verdict_word CHECK (verdict IN ('passed', 'recount', 'look', 'stop')), 
	CONSTRAINT ck_weighing_pieces_range CHECK (pieces BETWEEN 0 AND 999999999)
);
INSERT INTO "weighing" VALUES('ann','S','2026-03-02 08:00:00.000000','bag','B2603020002','',20,2820000,620000,'passed','counted by hand: 20 pieces, as ordered',0,1,'BALL',1);
INSERT INTO "weighing" VALUES('ann','S','2026-03-02 08:00:00.000000','bag','B2603020005','',5,2620000,620000,'passed','counted by hand: 5 pieces, as ordered',0,2,'NUT',1);
INSERT INTO "weighing" VALUES('ann','P','2026-03-02 08:00:00.000000','package','P2603020001','',0,63400000,0,'passed','weighs 63.4 g, inside 62.5 to 64.3 g',0,3,'',0);
INSERT INTO "weighing" VALUES('ann','S','2026-03-02 08:00:00.000000','bag','B2603020001','',20,2820000,620000,'passed','counted by hand: 20 pieces, as ordered',0,4,'BALL',1);
INSERT INTO "weighing" VALUES('ann','S','2026-03-02 08:00:00.000000','bag','B2603020004','',4,13420000,620000,'passed','counted by hand: 4 pieces, as ordered',0,5,'GEAR',1);
INSERT INTO "weighing" VALUES('ann','P','2026-03-02 08:00:00.000000','package','P2603020002','',0,74200000,0,'passed','weighs 74.2 g, inside 73.3 to 75.1 g',0,6,'',0);
INSERT INTO "weighing" VALUES('ann','S','2026-03-02 08:00:00.000000','bag','B2603020003','',5,1170000,620000,'passed','counted by hand: 5 pieces, as ordered',0,7,'BALL',1);
INSERT INTO "weighing" VALUES('ann','S','2026-03-02 08:00:00.000000','bag','B2603020006','',85,34620000,620000,'passed','counted by hand: 85 pieces, as ordered',0,8,'NUT',1);
INSERT INTO "weighing" VALUES('ann','P','2026-03-02 08:00:00.000000','package','P2603020003','',0,93800000,0,'passed','weighs 93.8 g, inside 92.9 to 94.7 g',0,9,'',0);
INSERT INTO "weighing" VALUES('ann','S','2026-03-02 08:00:00.000000','bag','B2603020009','',12,1940000,620000,'passed','counted by hand: 12 pieces, as ordered',0,10,'BALL',1);
INSERT INTO "weighing" VALUES('ann','S','2026-03-02 08:00:00.000000','bag','B2603020014','',3,1820000,620000,'passed','counted by hand: 3 pieces, as ordered',0,11,'NUT',1);
INSERT INTO "weighing" VALUES('ann','S','2026-03-02 08:00:00.000000','bag','B2603020007','',7,1390000,620000,'passed','counted by hand: 7 pieces, as ordered',0,12,'BALL',1);
INSERT INTO "weighing" VALUES('ann','S','2026-03-02 08:00:00.000000','bag','B2603020012','',6,1280000,620000,'passed','counted by hand: 6 pieces, as ordered',0,13,'BALL',1);
INSERT INTO "weighing" VALUES('ann','P','2026-03-02 08:00:00.000000','package','P2603020006','',0,59300000,0,'passed','weighs 59.3 g, inside 58.4 to 60.2 g',0,14,'',0);
CREATE TABLE zone (
	service_code VARCHAR NOT NULL, 
	country VARCHAR NOT NULL, 
	zone VARCHAR NOT NULL, 
	CONSTRAINT pk_zone PRIMARY KEY (service_code, country)
);
CREATE INDEX ix_customer_order_state_received_at ON customer_order (state, received_at);
CREATE INDEX ix_imported_file_name_at ON imported_file (name, at);
CREATE INDEX ix_journal_entry_event_at ON journal_entry (event, at);
CREATE INDEX ix_journal_entry_subject ON journal_entry (subject);
CREATE INDEX ix_manifest_day_service_code ON manifest (day, service_code);
CREATE INDEX ix_walk_day ON walk (day);
CREATE INDEX ix_bin_part_number ON bin (part_number);
CREATE INDEX ix_order_line_part_number ON order_line (part_number);
CREATE INDEX ix_package_manifest_number ON package (manifest_number);
CREATE INDEX ix_package_order_number ON package (order_number);
CREATE INDEX ix_stock_entry_bin_code ON stock_entry (bin_code);
CREATE INDEX ix_stock_entry_part_number ON stock_entry (part_number);
CREATE INDEX ix_allocation_bin_code ON allocation (bin_code);
CREATE INDEX ix_bag_order_number_line_no ON bag (order_number, line_no);
CREATE INDEX ix_bag_package_number ON bag (package_number);
CREATE INDEX ix_bag_walk_number ON bag (walk_number);
CREATE TRIGGER stock_entry_stays_update BEFORE UPDATE ON stock_entry FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER stock_entry_stays_delete BEFORE DELETE ON stock_entry FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER journal_entry_stays_update BEFORE UPDATE ON journal_entry FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER journal_entry_stays_delete BEFORE DELETE ON journal_entry FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER manifest_stays_update BEFORE UPDATE ON manifest FOR EACH ROW WHEN (OLD.state = 'closed') BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER manifest_stays_delete BEFORE DELETE ON manifest FOR EACH ROW WHEN (OLD.state = 'closed') BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER package_stays_update BEFORE UPDATE ON package FOR EACH ROW WHEN (OLD.manifest_number IN (SELECT number FROM manifest WHERE state = 'closed') AND (NEW.manifest_number <> OLD.manifest_number OR NEW.gross_g IS NOT OLD.gross_g)) BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER package_stays_delete BEFORE DELETE ON package FOR EACH ROW WHEN (OLD.manifest_number IN (SELECT number FROM manifest WHERE state = 'closed')) BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE INDEX ix_settlement_difference ON settlement (difference);
CREATE INDEX ix_bill_line_package_number ON bill_line (package_number);
CREATE INDEX ix_hazard_review_package_number ON hazard_review (package_number);
CREATE INDEX ix_identifier_package_number ON identifier (package_number);
CREATE INDEX ix_identifier_range_code ON identifier (range_code);
CREATE INDEX ix_manifest_void_manifest_number ON manifest_void (manifest_number);
CREATE TRIGGER bill_line_stays_update BEFORE UPDATE ON bill_line FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER bill_line_stays_delete BEFORE DELETE ON bill_line FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER carrier_bill_stays_update BEFORE UPDATE ON carrier_bill FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER carrier_bill_stays_delete BEFORE DELETE ON carrier_bill FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER charge_stays_update BEFORE UPDATE ON charge FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER charge_stays_delete BEFORE DELETE ON charge FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER closed_day_stays_update BEFORE UPDATE ON closed_day FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER closed_day_stays_delete BEFORE DELETE ON closed_day FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER hazard_review_stays_update BEFORE UPDATE ON hazard_review FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER hazard_review_stays_delete BEFORE DELETE ON hazard_review FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER identifier_stays_update BEFORE UPDATE ON identifier FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER identifier_stays_delete BEFORE DELETE ON identifier FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER manifest_copy_stays_update BEFORE UPDATE ON manifest_copy FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER manifest_copy_stays_delete BEFORE DELETE ON manifest_copy FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER manifest_void_stays_update BEFORE UPDATE ON manifest_void FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER manifest_void_stays_delete BEFORE DELETE ON manifest_void FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER settlement_stays_update BEFORE UPDATE ON settlement FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER settlement_stays_delete BEFORE DELETE ON settlement FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER package_joins_no_closed_manifest BEFORE UPDATE ON package FOR EACH ROW WHEN (NEW.manifest_number IN (SELECT number FROM manifest WHERE state = 'closed') AND NEW.manifest_number <> OLD.manifest_number) BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE UNIQUE INDEX ix_bench_place_order_in_hand ON bench_place (kind, order_number) WHERE order_number <> '';
CREATE INDEX ix_recount_bag_code ON recount (bag_code);
CREATE INDEX ix_recount_part_number ON recount (part_number);
CREATE INDEX ix_recount_bin_code ON recount (bin_code);
CREATE INDEX ix_recount_state ON recount (state);
CREATE INDEX ix_weighing_subject_kind ON weighing (subject, kind);
CREATE TRIGGER weighing_stays_update BEFORE UPDATE ON weighing FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER weighing_stays_delete BEFORE DELETE ON weighing FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE INDEX ix_weighing_part_number ON weighing (part_number);
CREATE INDEX ix_pulled_bag_order_number ON pulled_bag (order_number);
CREATE INDEX ix_return_notice_part_number ON return_notice (part_number);
CREATE INDEX ix_claim_order_number ON claim (order_number);
CREATE INDEX ix_job_part_number ON job (part_number);
CREATE INDEX ix_return_match_order_number ON return_match (order_number);
CREATE INDEX ix_returned_pieces_order_number ON returned_pieces (order_number);
CREATE TRIGGER returned_pieces_stays_update BEFORE UPDATE ON returned_pieces FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER returned_pieces_stays_delete BEFORE DELETE ON returned_pieces FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER billed_surcharge_stays_update BEFORE UPDATE ON billed_surcharge FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER billed_surcharge_stays_delete BEFORE DELETE ON billed_surcharge FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER charged_surcharge_stays_update BEFORE UPDATE ON charged_surcharge FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
CREATE TRIGGER charged_surcharge_stays_delete BEFORE DELETE ON charged_surcharge FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END;
COMMIT;
