using System.Net;

namespace StageView.Wire.Exchange;

/// <summary>Another station of the group.</summary>
/// <param name="Station">Its identity.</param>
/// <param name="Name">The name that it shows.</param>
/// <param name="Provider">The program, as it says; empty until it has answered.</param>
/// <param name="Address">Where it is.</param>
/// <param name="Port">TCP port.</param>
/// <param name="Trouble">Why it can't be spoken to, or empty.</param>
public sealed record StationSeen(Guid Station, string Name, string Provider, IPAddress Address, int Port, string Trouble);

/// <summary>A file that another station says it has.</summary>
/// <param name="Line">What it says of it.</param>
/// <param name="StationName">Who says so.</param>
/// <param name="Order">Grows with each commit heard.</param>
public sealed record CommitSeen(CommitLine Line, string StationName, int Order);
