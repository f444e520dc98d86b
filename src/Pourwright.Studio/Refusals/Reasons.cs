namespace Pourwright.Studio.Refusals;

/// <summary>Every reason a call may be refused for: the one registry. A reason is never renamed and never given a second meaning.</summary>
/// <remarks>The gRPC code of each stands first in its comment, or `Caution` where nothing is refused; its way out last. `*_NOT_FOUND` and `*_EXISTS` are one pair a resource type.</remarks>
public static class Reasons
{
    // The request itself

    /// <summary>INVALID_ARGUMENT. Fields break their format or limits; the BadRequest detail names each. Correct them and send again.</summary>
    public const string FieldInvalid = "FIELD_INVALID";

    /// <summary>INVALID_ARGUMENT. The request_id came before with another body. Send a fresh id for a new request, or the first body for a repeat.</summary>
    public const string RequestIdReused = "REQUEST_ID_REUSED";

    /// <summary>INVALID_ARGUMENT. The bytes of the call are no message of its method: generate the client from the protos.</summary>
    public const string MessageUnreadable = "MESSAGE_UNREADABLE";

    /// <summary>INVALID_ARGUMENT. The page_token is damaged or belongs to another list, parent or filter. Start again without it.</summary>
    public const string PageTokenInvalid = "PAGE_TOKEN_INVALID";

    /// <summary>ABORTED. Someone changed the resource since it was read. Get it again, look, and repeat the change with the new etag.</summary>
    public const string EtagStale = "ETAG_STALE";

    /// <summary>INVALID_ARGUMENT. A time lies ahead of the studio's clock. Check the clock of the device, or send the time when it happened.</summary>
    public const string TimeInFuture = "TIME_IN_FUTURE";

    /// <summary>FAILED_PRECONDITION. A time lies before something that must come first, such as a pour before its mix. Correct the time.</summary>
    public const string TimeOutOfOrder = "TIME_OUT_OF_ORDER";

    /// <summary>FAILED_PRECONDITION. Two things that must be at one site are at different ones. Name a bench, container or mix of the same site.</summary>
    public const string SiteMismatch = "SITE_MISMATCH";

    /// <summary>FAILED_PRECONDITION. Clocks skip this local time: on that day they are put forward over it. Choose a time before or after.</summary>
    public const string LocalTimeMissing = "LOCAL_TIME_MISSING";

    /// <summary>FAILED_PRECONDITION. Clocks show this local time twice: on that day they are put back over it. Say which by fold, EARLIER or LATER.</summary>
    public const string LocalTimeTwice = "LOCAL_TIME_TWICE";

    // Who calls

    /// <summary>UNAUTHENTICATED. The call came without a key, or with one that is unknown, expired or revoked. Send a good one as `authorization: Bearer KEY`.</summary>
    public const string KeyNotAccepted = "KEY_NOT_ACCEPTED";

    /// <summary>PERMISSION_DENIED. The role or the sites of the key are not enough for this call. Ask somebody whose are, or an owner for another key.</summary>
    public const string NotAllowed = "NOT_ALLOWED";

    // How much is asked

    /// <summary>RESOURCE_EXHAUSTED. A message, or the body of a JSON request, is larger than the node takes. Send less at a time.</summary>
    public const string MessageTooLarge = "MESSAGE_TOO_LARGE";

    /// <summary>RESOURCE_EXHAUSTED. Too many calls came with this key, or from this address without a good one. Wait as RetryInfo says, then call more slowly.</summary>
    public const string CallsTooMany = "CALLS_TOO_MANY";

    /// <summary>RESOURCE_EXHAUSTED. As many streams are open with this key as may be. End one of them.</summary>
    public const string StreamsTooMany = "STREAMS_TOO_MANY";

    /// <summary>RESOURCE_EXHAUSTED. As many plans are being made, and wait, as the node takes. Ask again after the delay in RetryInfo.</summary>
    public const string PlannerBusy = "PLANNER_BUSY";

    /// <summary>DEADLINE_EXCEEDED. The call ran as long as the node lets any; whether it was kept is not known. Ask for less, or repeat it with the same request_id.</summary>
    public const string CallTooLong = "CALL_TOO_LONG";

    // Resin systems

    /// <summary>INVALID_ARGUMENT. Two figures of a data sheet cannot both be true of one resin. Check unit and temperature of both, or leave one out.</summary>
    public const string DataSheetContradictory = "DATA_SHEET_CONTRADICTORY";

    /// <summary>Caution. The ratio by mass and the one by volume do not belong together. Ask the maker which holds before anyone mixes.</summary>
    public const string RatioMismatch = "RATIO_MISMATCH";

    /// <summary>Caution. A figure of a data sheet lies far from the model fitted to it. Cast a test piece.</summary>
    public const string SheetFigureFar = "SHEET_FIGURE_FAR";

    /// <summary>Caution. A number of the cure model had to move far from the literature. Check that the class of the resin is right.</summary>
    public const string CureParameterFar = "CURE_PARAMETER_FAR";

    /// <summary>Caution. The fit to a data sheet ended before it settled. Cast a test piece.</summary>
    public const string FitUnsettled = "FIT_UNSETTLED";

    /// <summary>Caution. A data sheet recorded earlier cannot be fitted; forecasts are those of the class. Make a new resin system with the sheet put right.</summary>
    public const string DataSheetUnused = "DATA_SHEET_UNUSED";

    // Suppliers' labels

    /// <summary>INVALID_ARGUMENT. Nothing of a supplier's label should be taken: it breaks a rule of GS1, or is no GS1 code. Scan it again, or type what the can shows.</summary>
    public const string LabelUnreadable = "LABEL_UNREADABLE";

    /// <summary>FAILED_PRECONDITION. Nobody has compared the lot read off a label with the can. Do so, then send label_confirmed.</summary>
    public const string LabelUnconfirmed = "LABEL_UNCONFIRMED";

    /// <summary>FAILED_PRECONDITION. The label says another lot than the record. Look at the can; leave the label out where it is wrong.</summary>
    public const string LabelMismatch = "LABEL_MISMATCH";

    /// <summary>Caution. A label can be read, and perhaps not as it is meant. Compare it with the can.</summary>
    public const string LabelDoubtful = "LABEL_DOUBTFUL";

    /// <summary>Caution. The label allows use until another day than was recorded. Compare it with the can.</summary>
    public const string LabelExpiryDiffers = "LABEL_EXPIRY_DIFFERS";

    /// <summary>Caution. This lot of a supplier's came in before. Make sure that one delivery is not counted twice.</summary>
    public const string LotReceivedBefore = "LOT_RECEIVED_BEFORE";

    // Exports

    /// <summary>FAILED_PRECONDITION. The studio has no https address of its own, by which things are named in an export. Set Labels:Address.</summary>
    public const string StudioAddressMissing = "STUDIO_ADDRESS_MISSING";

    /// <summary>FAILED_PRECONDITION. Nothing was recorded of what was to be exported. Choose a longer time, or another site, lot or piece.</summary>
    public const string NothingToExport = "NOTHING_TO_EXPORT";

    /// <summary>NOT_FOUND. No record names anybody by this id of an export. Check the id and the studio.</summary>
    public const string PersonNotFound = "PERSON_NOT_FOUND";

    // Lots and containers

    /// <summary>FAILED_PRECONDITION. The lot is on hold. Use another lot, or release the hold after its cause is settled.</summary>
    public const string LotHeld = "LOT_HELD";

    /// <summary>FAILED_PRECONDITION. The container is on hold. Use another container, or release the hold after its cause is settled.</summary>
    public const string ContainerHeld = "CONTAINER_HELD";

    /// <summary>FAILED_PRECONDITION. The container is marked empty. Use another container.</summary>
    public const string ContainerSpent = "CONTAINER_SPENT";

    /// <summary>FAILED_PRECONDITION. The container is past its date, or past its time since opening. Use another container.</summary>
    public const string ContainerExpired = "CONTAINER_EXPIRED";

    /// <summary>FAILED_PRECONDITION. The container holds less than is drawn. Draw less, add a second container, or correct its balance by weighing it.</summary>
    public const string ContainerShort = "CONTAINER_SHORT";

    // Mixes

    /// <summary>FAILED_PRECONDITION. A container holds another part than it is drawn for, such as hardener for resin. Check the labels.</summary>
    public const string PartMismatch = "PART_MISMATCH";

    /// <summary>FAILED_PRECONDITION. Containers or pours of different resin systems meet. Parts of different systems are never mixed; choose those of one system.</summary>
    public const string ResinSystemMismatch = "RESIN_SYSTEM_MISMATCH";

    /// <summary>FAILED_PRECONDITION. The weighed parts miss the data sheet's ratio by more than its tolerance. Weigh again; do not pour.</summary>
    public const string RatioOutOfTolerance = "RATIO_OUT_OF_TOLERANCE";

    /// <summary>FAILED_PRECONDITION. The batch is larger than the data sheet allows; it may run away hot. Mix smaller batches.</summary>
    public const string BatchTooLarge = "BATCH_TOO_LARGE";

    /// <summary>Caution. One part of a mix comes from several lots. If one is at fault, every piece of the mix is suspect; give a class one lot of each part.</summary>
    public const string SeveralLots = "SEVERAL_LOTS";

    /// <summary>Caution. A sealed container was drawn from and counts as opened. Check the label; the shelf life of an opened one has begun.</summary>
    public const string ContainerOpened = "CONTAINER_OPENED";

    /// <summary>FAILED_PRECONDITION. Less is left of the mix than is poured. Pour less, or from another mix.</summary>
    public const string MixShort = "MIX_SHORT";

    /// <summary>FAILED_PRECONDITION. A mix is said not to have occurred, and pours from it stand. Correct the pours first.</summary>
    public const string MixPoured = "MIX_POURED";

    /// <summary>FAILED_PRECONDITION. A correction says what stands already. Say what is right, if it is otherwise.</summary>
    public const string NothingToCorrect = "NOTHING_TO_CORRECT";

    // Pieces

    /// <summary>FAILED_PRECONDITION. The layer is deeper than the data sheet allows; it may run away hot. Pour several layers.</summary>
    public const string DepthOverLimit = "DEPTH_OVER_LIMIT";

    /// <summary>FAILED_PRECONDITION. The piece has left its mould: it takes no more pours and is not demolded twice. Begin another piece.</summary>
    public const string PieceDemolded = "PIECE_DEMOLDED";

    /// <summary>FAILED_PRECONDITION. The piece was given to its maker: no more pours and steps. Record what is seen on it as a check or a defect.</summary>
    public const string PieceHandedOver = "PIECE_HANDED_OVER";

    /// <summary>FAILED_PRECONDITION. The piece was given up: no more pours and steps. Begin another piece.</summary>
    public const string PieceScrapped = "PIECE_SCRAPPED";

    /// <summary>FAILED_PRECONDITION. The piece has no pour, so that there is nothing to demold, move, work on or draw. Record the pour first.</summary>
    public const string PieceNotPoured = "PIECE_NOT_POURED";

    /// <summary>FAILED_PRECONDITION. The piece is poured: other layers or another resin come too late for it. Ask of a pour that is only thought of.</summary>
    public const string PiecePoured = "PIECE_POURED";

    /// <summary>FAILED_PRECONDITION. The piece is in its mould and is not sawn, planed or sanded there. Record the demolding first.</summary>
    public const string PieceNotDemolded = "PIECE_NOT_DEMOLDED";

    /// <summary>FAILED_PRECONDITION, or Caution where it happened. The piece is held: it is neither handed over nor worked on. Release it once the cause is settled.</summary>
    public const string PieceHeld = "PIECE_HELD";

    /// <summary>FAILED_PRECONDITION. A quantity lies outside the range the cure model was fitted for. Change the quantity, or judge by touch alone.</summary>
    public const string CureModelRange = "CURE_MODEL_RANGE";

    // Pieces, as cautions only: the write is accepted

    /// <summary>Caution. Poured after the data sheet's pot life. Watch the piece; leave the rest of the batch in a shallow tray.</summary>
    public const string PotLifePast = "POT_LIFE_PAST";

    /// <summary>Caution. Mould or wood is closer to the dew point than the site's margin. Warm it, or dry the air.</summary>
    public const string SurfaceNearDewPoint = "SURFACE_NEAR_DEW_POINT";

    /// <summary>Caution. The wood is wetter or drier than the studio's window. Measure again, dry or seal it.</summary>
    public const string WoodMoisture = "WOOD_MOISTURE";

    /// <summary>Caution. A layer of another resin system than one below it. Ask both suppliers, or try it on a sample.</summary>
    public const string ResinSystemChanged = "RESIN_SYSTEM_CHANGED";

    /// <summary>Caution. A step before forecast and touch test both said ready. Test by touch first.</summary>
    public const string GateNotReached = "GATE_NOT_REACHED";

    /// <summary>Caution. A tool that makes dust, on resin that is not known to be cured. Stop, or protect airways and skin.</summary>
    public const string UncuredDust = "UNCURED_DUST";

    // Needs of a class

    /// <summary>FAILED_PRECONDITION. A ratio counts volumes and a density is not known. Create the resin system anew with both densities.</summary>
    public const string DensityMissing = "DENSITY_MISSING";

    /// <summary>FAILED_PRECONDITION. The wood is as large as the mould. Check its mass and density, or the inside of the mould.</summary>
    public const string WoodFillsMould = "WOOD_FILLS_MOULD";

    /// <summary>FAILED_PRECONDITION. The class has no machine day. Give it its sessions, or publish a plan that does.</summary>
    public const string ClassNotScheduled = "CLASS_NOT_SCHEDULED";

    /// <summary>Caution. No largest batch is known, so none is larger than what one piece takes at once. Ask the maker, or give vessel and working time.</summary>
    public const string BatchLimitUnknown = "BATCH_LIMIT_UNKNOWN";

    /// <summary>Caution. A class needs more than what stands at its site and is good that day. Order, or move some there.</summary>
    public const string StockShort = "STOCK_SHORT";

    // Advice, as cautions only

    /// <summary>Caution. The room is expected colder than the data sheet allows. Warm it evenly before the pour.</summary>
    public const string RoomTooCold = "ROOM_TOO_COLD";

    /// <summary>Caution. The planned time of a layer meets its window in less than half of the cases. Touch decides.</summary>
    public const string WindowUnsure = "WINDOW_UNSURE";

    /// <summary>Caution. Leftovers heat themselves in the pot. Spread them in shallow trays outdoors, watched.</summary>
    public const string PotLeftovers = "POT_LEFTOVERS";

    /// <summary>Caution. Data sheet and safety data sheet decide where they say less. Read them.</summary>
    public const string SheetDecides = "SHEET_DECIDES";

    /// <summary>Caution. A room is warmed. Evenly, within the data sheet: no flame, no heat gun.</summary>
    public const string WarmEvenly = "WARM_EVENLY";

    /// <summary>Caution. A forecast is half of an answer. Test by touch.</summary>
    public const string TouchDecides = "TOUCH_DECIDES";

    /// <summary>Caution. A machine is used. Trained people only, dust extracted.</summary>
    public const string MachineWork = "MACHINE_WORK";

    /// <summary>Caution. Rags with oil can set themselves on fire. Flat outdoors, or a closed metal can of water.</summary>
    public const string OilyRags = "OILY_RAGS";

    // Climate

    /// <summary>FAILED_PRECONDITION. The sensor reported another value for the same instant. A reading is evidence and is not overwritten; check the sensor's clock.</summary>
    public const string ReadingConflict = "READING_CONFLICT";

    // Reminders

    /// <summary>FAILED_PRECONDITION. The reminder's state does not allow the step, such as acknowledging one withdrawn. Get it again.</summary>
    public const string ReminderState = "REMINDER_STATE";

    // Classes

    /// <summary>FAILED_PRECONDITION. The class's state does not allow the step: it has its sessions, is given up or is over, or its pour has begun. Get it again.</summary>
    public const string ClassState = "CLASS_STATE";

    /// <summary>FAILED_PRECONDITION. A session is closed while nobody says that rags with oil are safe. Flat outdoors or into a closed metal can, look, then close.</summary>
    public const string RagsNotSafe = "RAGS_NOT_SAFE";

    /// <summary>FAILED_PRECONDITION. The class would have fewer seats than are taken. Leave more, or ask students to withdraw first.</summary>
    public const string SeatsTaken = "SEATS_TAKEN";

    /// <summary>FAILED_PRECONDITION, or Caution where a session was moved later. A session is held on a day that the student does not accept; a seat is one in every session. Ask for other days, or for another class.</summary>
    public const string SeatNeedsEverySession = "SEAT_NEEDS_EVERY_SESSION";

    /// <summary>FAILED_PRECONDITION. The student has a place in the class already. List its enrolments.</summary>
    public const string StudentEnrolled = "STUDENT_ENROLLED";

    /// <summary>FAILED_PRECONDITION. The enrolment's state does not allow the step, such as accepting a seat that was not offered. Get it again.</summary>
    public const string EnrolmentState = "ENROLMENT_STATE";

    /// <summary>FAILED_PRECONDITION. The offer of a seat has expired. Ask the studio whether one is still free.</summary>
    public const string OfferExpired = "OFFER_EXPIRED";

    /// <summary>FAILED_PRECONDITION. Every seat of the class is taken or kept for an offer. Wait, or withdraw one.</summary>
    public const string NoSeatFree = "NO_SEAT_FREE";

    /// <summary>FAILED_PRECONDITION. Nobody on the waiting list accepts the day of every session. Enrol somebody else.</summary>
    public const string NobodyWaits = "NOBODY_WAITS";

    /// <summary>FAILED_PRECONDITION. Other classes hold the moulds at that time. Take fewer or others, or move a class.</summary>
    public const string MouldsTaken = "MOULDS_TAKEN";

    /// <summary>FAILED_PRECONDITION. The piece of the class does not fit into the mould. Take a larger one.</summary>
    public const string MouldTooSmall = "MOULD_TOO_SMALL";

    /// <summary>Caution. A class has, or would have, fewer moulds than pieces. Book more, build some, or move a class.</summary>
    public const string MouldsShort = "MOULDS_SHORT";

    /// <summary>Caution. A class holds moulds that other classes hold at the same time. Book others, or move a class.</summary>
    public const string MouldsOverbooked = "MOULDS_OVERBOOKED";

    /// <summary>Caution. One person is to teach two sessions at one time. Change the instructor of one of them.</summary>
    public const string InstructorBusy = "INSTRUCTOR_BUSY";

    /// <summary>Caution. The instructor is not on the list of those who teach the offering. Ask whether they may.</summary>
    public const string InstructorUntaught = "INSTRUCTOR_UNTAUGHT";

    /// <summary>Caution. Sessions were set by hand: nobody asked whether the pieces will be hard by the machine day. Ask for a plan.</summary>
    public const string CureNotAsked = "CURE_NOT_ASKED";

    /// <summary>Caution. Moulds and wood were due before the seat was offered. Ask whether there is enough for one more.</summary>
    public const string PrepDue = "PREP_DUE";

    // Calendars

    /// <summary>FAILED_PRECONDITION. A mail has nowhere to go, or nobody to answer: the person, or every contact of the site, has no e-mail address. Record one.</summary>
    public const string EmailMissing = "EMAIL_MISSING";

    /// <summary>FAILED_PRECONDITION. The student did not agree to messages. Ask, and record the consent.</summary>
    public const string ConsentMissing = "CONSENT_MISSING";

    /// <summary>FAILED_PRECONDITION. The student never had a seat in the class. Enrol the student first.</summary>
    public const string NotTakingPart = "NOT_TAKING_PART";

    // Plans

    /// <summary>FAILED_PRECONDITION. The plan is not in the state that the step needs: a draft to publish, a proposal to choose, one that holds to replan. Get it again.</summary>
    public const string PlanState = "PLAN_STATE";

    /// <summary>FAILED_PRECONDITION. The records have changed since the plan was made, and it breaks a rule now. Draft or replan anew.</summary>
    public const string PlanStale = "PLAN_STALE";

    /// <summary>FAILED_PRECONDITION. A session close at hand would change. Speak with the people concerned, and name who answers for it.</summary>
    public const string SessionTooNear = "SESSION_TOO_NEAR";

    /// <summary>FAILED_PRECONDITION. No class is asked for in these days. Create classes, or choose other days.</summary>
    public const string SeasonEmpty = "SEASON_EMPTY";

    /// <summary>FAILED_PRECONDITION. The class has its place in the plan, so that there is nothing to explain. Get the plan.</summary>
    public const string ClassPlaced = "CLASS_PLACED";

    /// <summary>Caution. A class that has its dates breaks a rule as things are now. Look at it, or replan.</summary>
    public const string PlanBreaksRule = "PLAN_BREAKS_RULE";

    // Recalls

    /// <summary>FAILED_PRECONDITION. Nothing on record was reached from there: no piece, no stock, no open mix. Check the name and the day.</summary>
    public const string RecallEmpty = "RECALL_EMPTY";

    /// <summary>FAILED_PRECONDITION. The recall is closed: it takes no answer and is not closed twice. Start another one.</summary>
    public const string RecallClosed = "RECALL_CLOSED";

    // The store

    /// <summary>RESOURCE_EXHAUSTED. The disk is full; nothing of the request was kept. Free space on the node; it recovers by itself.</summary>
    public const string StoreFull = "STORE_FULL";

    /// <summary>UNAVAILABLE. The store takes no writes now. Retry after the delay in RetryInfo, with the same request_id.</summary>
    public const string StoreUnavailable = "STORE_UNAVAILABLE";

    // No such thing: NOT_FOUND with ResourceInfo. Check the name, or list the parent.

    /// <summary>NOT_FOUND. No such studio. Check the name.</summary>
    public const string StudioNotFound = "STUDIO_NOT_FOUND";

    /// <summary>NOT_FOUND. No such site. Check the name.</summary>
    public const string SiteNotFound = "SITE_NOT_FOUND";

    /// <summary>NOT_FOUND. No such bench. Check the name.</summary>
    public const string BenchNotFound = "BENCH_NOT_FOUND";

    /// <summary>NOT_FOUND. No such sensor. Check the name.</summary>
    public const string SensorNotFound = "SENSOR_NOT_FOUND";

    /// <summary>NOT_FOUND. No such resin system. Check the name.</summary>
    public const string ResinSystemNotFound = "RESIN_SYSTEM_NOT_FOUND";

    /// <summary>NOT_FOUND. No such room. Check the name.</summary>
    public const string RoomNotFound = "ROOM_NOT_FOUND";

    /// <summary>NOT_FOUND. No such station. Check the name.</summary>
    public const string StationNotFound = "STATION_NOT_FOUND";

    /// <summary>NOT_FOUND. No such outage. Check the name.</summary>
    public const string OutageNotFound = "OUTAGE_NOT_FOUND";

    /// <summary>NOT_FOUND. No such offering. Check the name.</summary>
    public const string OfferingNotFound = "OFFERING_NOT_FOUND";

    /// <summary>NOT_FOUND. No such instructor. Check the name.</summary>
    public const string InstructorNotFound = "INSTRUCTOR_NOT_FOUND";

    /// <summary>NOT_FOUND. No such absence. Check the name.</summary>
    public const string AbsenceNotFound = "ABSENCE_NOT_FOUND";

    /// <summary>NOT_FOUND. No such lot. Check the name.</summary>
    public const string LotNotFound = "LOT_NOT_FOUND";

    /// <summary>NOT_FOUND. No such container. Check the name.</summary>
    public const string ContainerNotFound = "CONTAINER_NOT_FOUND";

    /// <summary>NOT_FOUND. No such recall. Check the name.</summary>
    public const string RecallNotFound = "RECALL_NOT_FOUND";

    /// <summary>NOT_FOUND. No such notice of a recall. Check the name.</summary>
    public const string RecallNoticeNotFound = "RECALL_NOTICE_NOT_FOUND";

    /// <summary>NOT_FOUND. No such failed message: it has had its effect, has not failed, or never was. List the failed messages again.</summary>
    public const string FailedMessageNotFound = "FAILED_MESSAGE_NOT_FOUND";

    /// <summary>NOT_FOUND. No such mix. Check the name.</summary>
    public const string MixNotFound = "MIX_NOT_FOUND";

    /// <summary>NOT_FOUND. No such piece. Check the name.</summary>
    public const string PieceNotFound = "PIECE_NOT_FOUND";

    /// <summary>NOT_FOUND. No such pour. Check the name.</summary>
    public const string PourNotFound = "POUR_NOT_FOUND";

    /// <summary>NOT_FOUND. No such check. Check the name.</summary>
    public const string CheckNotFound = "CHECK_NOT_FOUND";

    /// <summary>NOT_FOUND. No such step. Check the name.</summary>
    public const string StepNotFound = "STEP_NOT_FOUND";

    /// <summary>NOT_FOUND. No such forecast. Check the name.</summary>
    public const string ForecastNotFound = "FORECAST_NOT_FOUND";

    /// <summary>NOT_FOUND. No such reminder. Check the name.</summary>
    public const string ReminderNotFound = "REMINDER_NOT_FOUND";

    /// <summary>NOT_FOUND. No such defect. Check the name.</summary>
    public const string DefectNotFound = "DEFECT_NOT_FOUND";

    /// <summary>NOT_FOUND. No such class. Check the name.</summary>
    public const string CastingClassNotFound = "CASTING_CLASS_NOT_FOUND";

    /// <summary>NOT_FOUND. No such session. Check the name.</summary>
    public const string SessionNotFound = "SESSION_NOT_FOUND";

    /// <summary>NOT_FOUND. No such preparation task. Check the name.</summary>
    public const string PrepTaskNotFound = "PREP_TASK_NOT_FOUND";

    /// <summary>NOT_FOUND. No such student. Check the name.</summary>
    public const string StudentNotFound = "STUDENT_NOT_FOUND";

    /// <summary>NOT_FOUND. No such enrolment. Check the name.</summary>
    public const string EnrolmentNotFound = "ENROLMENT_NOT_FOUND";

    /// <summary>NOT_FOUND. No such mould. Check the name.</summary>
    public const string MouldNotFound = "MOULD_NOT_FOUND";

    /// <summary>NOT_FOUND. No such link to a calendar. Check the name.</summary>
    public const string CalendarLinkNotFound = "CALENDAR_LINK_NOT_FOUND";

    /// <summary>NOT_FOUND. No key has this name. List the studio's keys.</summary>
    public const string AccessKeyNotFound = "ACCESS_KEY_NOT_FOUND";

    /// <summary>NOT_FOUND. No such link of a student. List the studio's links.</summary>
    public const string StudentLinkNotFound = "STUDENT_LINK_NOT_FOUND";

    /// <summary>NOT_FOUND. No such seal. Check the name, or list the seals.</summary>
    public const string SealNotFound = "SEAL_NOT_FOUND";

    /// <summary>NOT_FOUND. No such plan, or none that is published. Check the name.</summary>
    public const string PlanNotFound = "PLAN_NOT_FOUND";

    // Id taken: ALREADY_EXISTS with ResourceInfo. Choose another id, or leave it empty to be given one.

    /// <summary>ALREADY_EXISTS. The id of a new studio is taken. Choose another.</summary>
    public const string StudioExists = "STUDIO_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new site is taken. Choose another.</summary>
    public const string SiteExists = "SITE_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new bench is taken. Choose another.</summary>
    public const string BenchExists = "BENCH_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new sensor is taken. Choose another.</summary>
    public const string SensorExists = "SENSOR_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new resin system is taken. Choose another.</summary>
    public const string ResinSystemExists = "RESIN_SYSTEM_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new room is taken. Choose another.</summary>
    public const string RoomExists = "ROOM_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new station is taken. Choose another.</summary>
    public const string StationExists = "STATION_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new outage is taken. Choose another.</summary>
    public const string OutageExists = "OUTAGE_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new offering is taken. Choose another.</summary>
    public const string OfferingExists = "OFFERING_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new instructor is taken. Choose another.</summary>
    public const string InstructorExists = "INSTRUCTOR_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new absence is taken. Choose another.</summary>
    public const string AbsenceExists = "ABSENCE_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new lot is taken. Choose another.</summary>
    public const string LotExists = "LOT_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new container is taken. Choose another.</summary>
    public const string ContainerExists = "CONTAINER_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new recall is taken. Choose another.</summary>
    public const string RecallExists = "RECALL_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new notice is taken. Choose another.</summary>
    public const string RecallNoticeExists = "RECALL_NOTICE_EXISTS";

    /// <summary>ALREADY_EXISTS. Never answered: nobody chooses the id of a message.</summary>
    public const string FailedMessageExists = "FAILED_MESSAGE_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new mix is taken. Choose another.</summary>
    public const string MixExists = "MIX_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new piece is taken. Choose another.</summary>
    public const string PieceExists = "PIECE_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new pour is taken. Choose another.</summary>
    public const string PourExists = "POUR_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new check is taken. Choose another.</summary>
    public const string CheckExists = "CHECK_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new step is taken. Choose another.</summary>
    public const string StepExists = "STEP_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new forecast is taken. Choose another.</summary>
    public const string ForecastExists = "FORECAST_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new reminder is taken. Choose another.</summary>
    public const string ReminderExists = "REMINDER_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new defect is taken. Choose another.</summary>
    public const string DefectExists = "DEFECT_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new class is taken. Choose another.</summary>
    public const string CastingClassExists = "CASTING_CLASS_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new session is taken. Choose another.</summary>
    public const string SessionExists = "SESSION_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new preparation task is taken. Choose another.</summary>
    public const string PrepTaskExists = "PREP_TASK_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new student is taken. Choose another.</summary>
    public const string StudentExists = "STUDENT_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new enrolment is taken. Choose another.</summary>
    public const string EnrolmentExists = "ENROLMENT_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new mould is taken. Choose another.</summary>
    public const string MouldExists = "MOULD_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new link to a calendar is taken. Choose another.</summary>
    public const string CalendarLinkExists = "CALENDAR_LINK_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new key is taken. Choose another.</summary>
    public const string AccessKeyExists = "ACCESS_KEY_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new link of a student is taken. Choose another.</summary>
    public const string StudentLinkExists = "STUDENT_LINK_EXISTS";

    /// <summary>Caution. Others of the class bear the student's name, so that no piece is shown by it. Give a link to each piece.</summary>
    public const string NameShared = "NAME_SHARED";

    /// <summary>ALREADY_EXISTS. The id of a new seal is taken. Choose another.</summary>
    public const string SealExists = "SEAL_EXISTS";

    /// <summary>ALREADY_EXISTS. The id of a new plan is taken. Choose another.</summary>
    public const string PlanExists = "PLAN_EXISTS";
}
