namespace StageView.Rig.Sheets;

/// <summary>One thing that a data sheet says of a fixture.</summary>
/// <param name="Key">What an option calls it.</param>
/// <param name="Ask">The question.</param>
/// <param name="Example">How an answer may look.</param>
/// <param name="Else">What is taken without an answer; empty where there must be one.</param>
public sealed record SheetQuestion(string Key, string Ask, string Example, string Else)
{
    /// <summary>All of them, in the order in which they are asked. Nothing hangs on the order.</summary>
    public static IReadOnlyList<SheetQuestion> All { get; } =
    [
        new("photometry", "Photometric file (.ies or .ldt) with its measured light", "small-spot.ies", "none"),
        new("lumens", "Lumens at full, open white", "12000", "the photometric file's"),
        new("edge", "Edge of the beam: hard (spot) or soft (wash)", "hard", "hard"),
        new("beam", "Beam angle, half of the centre's intensity, full degrees; two for a zoom", "8-45", "the field angle less what is usual"),
        new("field", "Field angle, a tenth of the centre's intensity, full degrees; two for a zoom", "9-50", "the beam angle and what is usual"),
        new("kelvin", "Colour temperature of open white, K", "6500", "6000"),
        new("lens", "Diameter of the lens, mm", "120", "100"),
        new("pan", "Pan range, degrees; 0 for none", "540", "0"),
        new("pan-speed", "Pan speed: degrees a second, or seconds for the whole range", "2.8 s", "180 deg/s"),
        new("tilt", "Tilt range, degrees; 0 for none", "270", "0"),
        new("tilt-speed", "Tilt speed: degrees a second, or seconds for the whole range", "1.6 s", "150 deg/s"),
        new("emitters", "Emitters of a fixture that mixes colour", "red, green, blue, white", "none: one white source"),
        new("weight", "Weight, kg", "19.5", "left out"),
        new("power", "Electrical power at full, W", "470", "left out"),
        new("channels", "DMX channels in their order", "pan, pan fine, tilt, tilt fine, dimmer, zoom, -, red, green, blue", "one for each thing it can do"),
    ];
}
