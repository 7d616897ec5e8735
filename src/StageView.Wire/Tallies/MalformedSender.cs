namespace StageView.Wire.Tallies;

/// <summary>A host whose packets were refused as malformed.</summary>
/// <param name="Host">Where it sends from, without the port.</param>
/// <param name="Count">How many.</param>
/// <param name="Reason">Why the latest was.</param>
public sealed record MalformedSender(string Host, long Count, string Reason);
