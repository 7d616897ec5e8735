namespace StageView.Benchmarks.Planted;

/// <summary>Thirty changes of a show, as they happen between two cities or two rehearsals; each in a copy of the demo of its own.</summary>
internal static class Plantings
{
    public const string Rig = "scenes/foundry/foundry.rig.jsonc";
    public const string Cues = "scenes/foundry/foundry.cues.jsonc";
    public const string Venue = "scenes/foundry/planted.venue.jsonc";

    private const string Room = "scenes/foundry/room.rig.jsonc";
    private const string Spot = "assets/fixtures/spot-head.fixture.jsonc";
    private const string Front = "assets/fixtures/front-profile.fixture.jsonc";

    // Moments and cameras of the demo's own pictures.
    private const string Globes = "3.5", Wave = "9.2", Run = "12.6", Mirror = "18.5", Lasers = "25", Furnace = "30.2";
    private const string House = "house", Side = "side", Mirrors = "mirror moment", Low = "house low light";

    public static IReadOnlyList<Planting> All { get; } =
    [
        new("a gel in the front light", Rig,
            "\"profile\": \"front-profile\",", "\"profile\": \"front-profile\", \"filter\": [1, 0.8, 0.6],", Globes, House),
        new("haze patches larger", Rig, "\"patchSize\": 2.6", "\"patchSize\": 3.4", Wave, Side),
        new("haze drifts faster", Rig, "\"drift\": [0.15,", "\"drift\": [0.25,", Wave, Side),
        new("haze thicker", Rig, "\"haze\": { \"extinction\": 0.016", "\"haze\": { \"extinction\": 0.0175", Wave, Side),
        new("a mirror's sheet thicker", Rig, "\"sheet\": 0.006", "\"sheet\": 0.02", Mirror, Mirrors),
        new("a mirror turned by half a degree", Rig,
            "\"rotate\": [20, 0, 0], \"size\": [9, 1.9]", "\"rotate\": [20.5, 0, 0], \"size\": [9, 1.9]", Mirror, Mirrors),
        new("mirror panels duller", Rig, "\"reflectance\": 0.9,", "\"reflectance\": 0.8,", Mirror, Mirrors),
        new("another picture on a gobo", Spot, "\"gobo\": \"rays\"", "\"gobo\": \"cracks\"", Furnace, House),
        new("the performer's mark 30 cm left", Rig,
            "\"shape\": \"person\", \"at\": [0, 2.6, 0]", "\"shape\": \"person\", \"at\": [-0.3, 2.6, 0]", Globes, House),
        new("the desk's top lower", Rig,
            "\"at\": [0, 1.95, 0.5], \"size\": [2.2, 0.6, 0.1]", "\"at\": [0, 1.95, 0.42], \"size\": [2.2, 0.6, 0.1]", Globes, House),
        new("the deck painted lighter", Room, "\"size\": [17, 10, 1.1], \"albedo\": 0.07", "\"size\": [17, 10, 1.1], \"albedo\": 0.08", Wave, House),
        new("a lamp dark", Cues,
            "{ \"fixtures\": \"4-7\", \"dimmer\": 0.25 }", "{ \"fixtures\": \"4-7\", \"dimmer\": 0.25 }, { \"fixtures\": \"115\", \"dimmer\": 0 }",
            Mirror, Mirrors),
        new("the heads' zoom range", Spot,
            "\"bits\": \"16\", \"default\": 60, \"physical\": [4, 42]", "\"bits\": \"16\", \"default\": 60, \"physical\": [4, 38]",
            Furnace, House),
        new("globes of one row 40 cm higher", Cues, "\"height\": -5.4", "\"height\": -5.0", Wave, Side),
        new("a hue in a cue", Cues, "\"dimmer\": 0.75, \"colour\": \"#4f86ff\"", "\"dimmer\": 0.75, \"colour\": \"#4f8cff\"", Wave, Side),
        new("a faint wide change: front light by 2 %", Cues, "{ \"fixtures\": \"4-7\", \"dimmer\": 0.5, \"zoom\": 17 }",
            "{ \"fixtures\": \"4-7\", \"dimmer\": 0.51, \"zoom\": 17 }", Globes, House),
        new("a truss 20 cm lower", Venue, "", "{ \"name\": \"Low\", \"move\": [{ \"what\": \"upstage truss\", \"trim\": 8.1 }] }", Wave, Side),
        new("heads hung 20 cm lower", Rig,
            "\"from\": [-5.6, 0, -0.22], \"to\": [5.6, 0, -0.22]", "\"from\": [-5.6, 0, -0.42], \"to\": [5.6, 0, -0.42]", Mirror, Mirrors),
        new("a head's pan in a cue", Cues, "{ \"fixtures\": \"113-118\", \"dimmer\": 0.35, \"colour\": \"#79c4ff\" }",
            "{ \"fixtures\": \"113-118\", \"dimmer\": 0.35, \"colour\": \"#79c4ff\" }, { \"fixtures\": \"120\", \"pan\": 60 }", Wave, Side),
        new("front profiles in another mode", Rig,
            "\"profile\": \"front-profile\",", "\"profile\": \"front-profile\", \"mode\": \"Dimmer\",", Globes, House),
        new("front profiles patched one on", Rig, "\"patch\": \"10.1\"", "\"patch\": \"10.2\"", Globes, House),
        new("the camera 20 cm higher", Rig,
            "{ \"name\": \"side\", \"at\": [-9.3, -8.6, 3.2]", "{ \"name\": \"side\", \"at\": [-9.3, -8.6, 3.4]", Wave, Side),
        new("a cue half a second later", Cues,
            "\"time\": 17, \"name\": \"mirror moment\"", "\"time\": 17.5, \"name\": \"mirror moment\"", "17.4", Mirrors),
        new("older lamps in the heads", Spot, "\"flux\": 17500", "\"flux\": 16500", Wave, Side),
        new("warmer lamps in the heads", Spot,
            "\"lensRadius\": 0.075, \"colourTemperature\": 6800", "\"lensRadius\": 0.075, \"colourTemperature\": 6300", Wave, Side),
        new("the advance pipe stays in the truck", Venue, "", "{ \"name\": \"Short\", \"remove\": [\"advance pipe\"] }", Furnace, House),
        new("a curtain that was not there", Rig, "  \"scenery\": [\n    { \"name\": \"performer\"",
            "  \"scenery\": [\n"
            + "    { \"name\": \"side curtain\", \"shape\": \"box\", \"at\": [5.4, 3.4, 2], \"size\": [0.1, 2, 4], \"albedo\": 0.04 },\n"
            + "    { \"name\": \"performer\"",
            Wave, House),
        new("embers of another colour", Cues,
            "\"colour\": \"#ff4800\", \"second\": \"#ffb060\", \"speed\": 0.8", "\"colour\": \"#ff3000\", \"second\": \"#ffb060\", \"speed\": 0.8",
            Globes, House),
        new("lasers tilted by a degree", Cues, "\"Shutter1\": 1, \"tilt\": 28", "\"Shutter1\": 1, \"tilt\": 29", "23.6", Low),
        new("a cue inserted", Cues, "    { \"time\": 35.2, \"name\": \"out\"",
            "    { \"time\": 34.4, \"name\": \"bump\", \"fade\": 0.1, \"set\": [{ \"fixtures\": \"119-124\", \"dimmer\": 0.5 }] },\n"
            + "    { \"time\": 35.2, \"name\": \"out\"",
            CueFrames, House),
    ];

    /// <summary>In place of a moment: every change and every settled look.</summary>
    public const string CueFrames = "cues";
}
