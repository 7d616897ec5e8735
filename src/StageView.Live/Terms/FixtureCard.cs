using System.Text.Json.Serialization;
using StageView.Show.Questions;
using StageView.Stage.State;

namespace StageView.Live.Terms;

/// <summary>One fixture as picked.</summary>
/// <param name="Editable">Whether its position can be written into the rig file from the page.</param>
/// <param name="Fixed">Why it can't, and what to do instead; null when it can.</param>
internal sealed record FixtureCard(
    string Name,
    string Number,
    string Type,
    string Mode,
    string Patch,
    string Source,
    float[] At,
    bool Editable,
    IReadOnlyList<ChannelLine> Channels,
    IReadOnlyList<LandingLine> Landings,
    IReadOnlyList<string> Notes,
    string? Fixed = null)
{
    /// <summary>What is wrong with its addresses on the network, a line each; nothing where the network isn't what is shown.</summary>
    public IReadOnlyList<string> Network { get; init; } = [];

    /// <summary>Each different way in which its channels are driven; empty where levels are no network's, and while nobody was heard.</summary>
    public IReadOnlyList<DriveLine> Drives { get; init; } = [];

    /// <summary>Names of its channels at which another level is looked at than the one that comes in.</summary>
    public IReadOnlyList<string> AsIf { get; init; } = [];

    /// <summary>Its channels as the stage has them.</summary>
    [JsonIgnore]
    public IReadOnlyList<AttributeState> States { get; init; } = [];

    /// <summary>The show time of <see cref="States"/>.</summary>
    [JsonIgnore]
    public TimeSpan AsOf { get; init; }

    /// <summary>What else may have been meant by the click that picked it, itself first; null when it was not clicked.</summary>
    public IReadOnlyList<PickLine>? There { get; init; }
}

/// <summary>One of the fixtures whose light is seen where somebody clicked.</summary>
/// <param name="Share">Its part of the light seen there, 0 to 1; 0 for one whose head alone is there.</param>
internal sealed record PickLine(string Name, double Share);

/// <param name="Address"><c>universe.address</c> of the most significant byte; empty for a virtual channel.</param>
/// <param name="Raw">Raw value in the channel's resolution.</param>
/// <param name="Physical">Value and unit in words: <c>-12.4°</c>.</param>
internal sealed record ChannelLine(string Name, string Address, long Raw, long Full, string Physical, string Doing)
{
    /// <summary>Which of <see cref="FixtureCard.Drives"/> it is driven in; null when nobody is known.</summary>
    public int? Drive { get; init; }

    /// <summary>
    /// What each source of its drive sends, in their order, null where one doesn't send it; left out where there is one source alone and its level is in force.
    /// </summary>
    public IReadOnlyList<long?>? Sent { get; init; }
}

/// <summary>Who drives channels.</summary>
/// <param name="Fought">Whether sources of the highest priority send different levels.</param>
/// <param name="Split">Whether the bytes of one channel are won by different sources.</param>
internal sealed record DriveLine(bool Fought, bool Split, IReadOnlyList<DriverLine> Sources);

/// <param name="Name">The name it gives itself, else its address.</param>
/// <param name="Address">Without the port.</param>
/// <param name="PerAddress">Whether the priority is the one that it gives single addresses.</param>
/// <param name="Wins">Whether its level is in force, or held.</param>
/// <param name="Fate">What became of its level, in words.</param>
internal sealed record DriverLine(string Name, string Address, string Protocol, int Priority, bool PerAddress, bool Wins, bool Fights, string Fate);

/// <param name="Path">What it met on the way: empty for a direct beam.</param>
/// <param name="Surface">What it lands on.</param>
/// <param name="Throw">Way from the lens over all mirrors, m.</param>
/// <param name="SpotWidth">The longest way across the spot on the surface, at the field angle, m.</param>
/// <param name="SpotHeight">Across that, m.</param>
/// <param name="Lux">What it gives the surface there now, lx; less than square to the beam where it meets the surface aslant.</param>
/// <param name="IncidenceDegrees">From the surface's normal.</param>
/// <param name="SquareLux">The same on a plane that faces the beam, lx; too little where the beam only grazes the surface, beyond 89.4°.</param>
/// <param name="SquareSpot">Diameter square to the beam at the field angle, m; 0 for light to all sides.</param>
internal sealed record LandingLine(
    string Path, float[] At, string Surface, double Throw, double SpotWidth, double SpotHeight, double Lux, double IncidenceDegrees, double SquareLux = 0,
    double SquareSpot = 0);

/// <summary>How a fixture reaches a point.</summary>
internal sealed record AimCard(string Name, float[] Point, IReadOnlyList<AimWay> Ways, IReadOnlyList<string> Refusals)
{
    /// <summary>Stands beside the ways.</summary>
    public string Caution { get; init; } = EyeCaution.Text;
}

/// <param name="Via"><c>direct</c>, or the mirrors in order, <c>, then</c> between them.</param>
/// <param name="Lux">There at full on a plane that faces the light, lx.</param>
/// <param name="Turned">What mirrors must be turned for it, a line each with its addresses and values.</param>
/// <param name="Dmx">Addresses and the values to send: <c>Pan 12.101/12.102 = 128/0</c>.</param>
internal sealed record AimWay(
    string Via, double Pan, double Tilt, double MoveDegrees, double MoveSeconds, double ArrivesShare, double Lux, bool Shortest, IReadOnlyList<string> Turned,
    IReadOnlyList<string> Dmx)
{
    /// <summary>The mirrors without the numbers of their panels, as <see cref="Via"/> has them: what is listed together.</summary>
    public string Group { get; init; } = Via;

    /// <summary>The way of the beam's axis from the head over each mirror to the target, m.</summary>
    public IReadOnlyList<float[]> Path { get; init; } = [];

    /// <summary>What is set for it, mirrors that are turned included.</summary>
    public IReadOnlyList<AsIfLevel> Sets { get; init; } = [];
}
